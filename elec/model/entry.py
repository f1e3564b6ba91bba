"""What all entries of the file share."""

from pydantic import BaseModel, ConfigDict

from elec.units import yaml_key


class Entry(BaseModel):
    """A mapping in the builder's file: unknown keys are refused, nothing changes afterwards."""

    model_config = ConfigDict(
        extra="forbid",
        frozen=True,
        alias_generator=yaml_key,
        validate_by_alias=True,
        validate_by_name=True,  # for records built by the program; the reader turns this off
        allow_inf_nan=False,
        defer_build=True,
        serialize_by_alias=True,
    )
