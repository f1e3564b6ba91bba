"""Equipment sheets in two steps: first without, then with the sheet and zone of every other end.

A flag keeps room for them, so the second step moves nothing; and a drawing needs of the others
only their first step.
"""

from collections.abc import Callable, Mapping, Sequence

from msgspec.structs import replace

from elec.drawings import metrics
from elec.drawings.index import SheetSpot, numbered
from elec.drawings.ink import LINK
from elec.drawings.records.equipment import EquipmentGroup, equipment_record, groups
from elec.drawings.sheet import Sheet
from elec.drawings.sheets import cells
from elec.drawings.sheets.equipment import equipment
from elec.study import Study, analysis

POINT_MM = 3.0
"""From the point of a flag to the end of its text."""


@analysis
def groups_by_name(study: Study) -> Mapping[str, EquipmentGroup]:
    """Equipment → the group that it is drawn in."""
    return {name: group for group in groups(study) for name in group.names}


def bare(study: Study, code: str, group: EquipmentGroup) -> Sequence[Sheet]:
    """The sheets of a group without cross references; the second time they are remembered."""
    made = study.result(_bare)
    if code not in made:
        record = equipment_record(study, group)
        title = replace(record.title, code=code, sheet=1)
        made[code] = numbered(equipment(replace(record, title=title)), code)
    return made[code]


def _bare(study: Study) -> dict[str, Sequence[Sheet]]:
    """Code → sheets, as far as they were made."""
    del study
    return {}


def with_spots(
    study: Study, sheets: Sequence[Sheet], spot: Callable[[str], SheetSpot | None]
) -> list[Sheet]:
    """The sheets with the sheet and zone of the other end in every flag."""
    del study
    return [_with_spots(sheet, spot) for sheet in sheets]


def _with_spots(sheet: Sheet, spot: Callable[[str], SheetSpot | None]) -> Sheet:
    made = replace(sheet, items=list(sheet.items))
    for item in sheet.items:
        if item.kind != "flag" or not item.role.startswith("to "):
            continue
        found = spot(item.role.removeprefix("to "))
        if found is None:
            continue
        text = metrics.clean(f"{found.sheet}/{found.zone}")
        made.text(
            item.box[2] - POINT_MM,
            (item.box[1] + item.box[3]) / 2 + 2.3,
            text,
            align="right",
            bold=True,
            colour=LINK,
            room_mm=cells.SPOT_ROOM_MM - 2.0,
            ref=item.ref,
            link=found.sheet_id,
        )
    return made
