"""The command `elec measured`."""

import click

from elec.cli.common import Print, deliver, options_of, printing, study_of


@click.command(short_help="What was measured, beside what was expected.")
@click.argument("system", required=False)
@printing
def measured(system: str | None, how: Print) -> int:
    """Every measured value beside the expected one; what is off, and the likely cause.

    Write them under `measured:` (amps, volts, ohms of equipment, buses, sources, grounds) and in
    `build:` (cut, ohms, insulation of a wire). They count in place of computed values in
    everything else.
    """
    from elec.answers.doubt.measured import comparisons
    from elec.pages.answers import tables_answer
    from elec.pages.closing.table import measured as table_of
    from elec.pages.closing.table import notes

    study = study_of(system, how)
    found = comparisons(study)
    off = [one for one in found if one.agrees is False]
    if not found:
        leads: tuple[str, ...] = (
            (
                "Nothing is measured yet. Such as: measured: {beacon: {amps: 1.4 A}}; "
                "elec done SYSTEM L31A --ohms 210mΩ"
            ),
        )
    elif off:
        names = ", ".join(dict.fromkeys(one.title for one in off))
        leads = (f"{len(off)} of {len(found)} measured values are off: {names}.",)
    else:
        leads = (f"All {len(found)} measured values agree with what was computed.",)
    tables = (*((table_of(study),) if found else ()), *notes(study))
    deliver(tables_answer(study, "measured", tables, leads), how, options_of(study, how, system))
    return 0
