"""How a room stands: mutants, killed, score with its 95 % interval, and the survivors."""

import math
from pathlib import Path

from cosmic_ray.work_db import WorkDB


def report(session: Path) -> None:
    """Print the figures of a session and where its survivors are."""
    database = WorkDB(session, WorkDB.Mode.open)
    tried = database.completed_work_items
    database.close()
    alive = [(item, result) for item, result in tried if not result.is_killed]
    slow = sum(result.output == "slow" for _, result in tried)
    for item, result in sorted(
        alive,
        key=lambda pair: (str(pair[0].mutations[0].module_path), pair[0].mutations[0].start_pos),
    ):
        one = item.mutations[0]
        lines = [line for line in (result.diff or "").splitlines()[2:] if line[0] in "+-"]
        print(f"{one.module_path}:{one.start_pos[0]} {one.definition_name}")
        print(*(f"    {line}" for line in lines), sep="\n")
    killed, total = len(tried) - len(alive), len(tried)
    low, high = interval(killed, total)
    print(
        f"{session.stem}: {total} tried, {killed} killed ({slow} of them by time),"
        f" {len(alive)} survived: {killed / total:.1%}, 95 % interval {low:.1%} to {high:.1%}"
    )


def interval(found: int, total: int) -> tuple[float, float]:
    """Wilson's interval of a share seen in a sample, for 95 %.

    >>> [round(end, 3) for end in interval(85, 100)]
    [0.767, 0.907]
    """
    z = 1.959964
    share = found / total
    middle = share + z**2 / (2 * total)
    half = z * math.sqrt(share * (1 - share) / total + z**2 / (4 * total**2))
    return (middle - half) / (1 + z**2 / total), (middle + half) / (1 + z**2 / total)
