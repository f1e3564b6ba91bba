"""The formulas load without any of the slow libraries, and read no table before it is asked for."""

import subprocess
import sys


def test_heat_loads_no_library_and_no_table() -> None:
    code = (
        "import sys, elec.physics.heat; t = sys.modules['elec.standards.table'];"
        "slow = {'numpy', 'pandas', 'pint', 'scipy', 'matplotlib', 'yaml', 'networkx',"
        " 'pydantic', 'tomllib'};"
        "print(sorted(slow & set(sys.modules)), t.table.cache_info().currsize)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[] 0"
