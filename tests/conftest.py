"""What holds for all tests: where CI runs, a skipped test is a failed run."""

import os

import pytest
from hypothesis import settings

settings.register_profile("untimed", deadline=None)  # a busy machine is no fault of the program
settings.load_profile("untimed")


@pytest.hookimpl(trylast=True)
def pytest_sessionfinish(session: pytest.Session, exitstatus: int) -> None:
    """With CI set, an outside program that is missing must not pass unnoticed."""
    reporter = session.config.pluginmanager.get_plugin("terminalreporter")
    if reporter is None or not os.environ.get("CI"):
        return
    skipped = reporter.stats.get("skipped", [])
    if skipped and exitstatus == 0:
        reporter.write_line(f"{len(skipped)} tests were skipped; CI must run them all", red=True)
        session.exitstatus = 1
