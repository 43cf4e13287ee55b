"""The JSON Schemas of what is written and read."""

import json
from importlib.resources import files
from typing import Any


def plan_schema() -> dict[str, Any]:
    """Give the JSON Schema of a plan (``plan.json``, ``Plan.to_json``), draft 2020-12.

    Returns
    -------
    dict
        The schema; the file is ``schema/plan.schema.json`` in the package.

    Examples
    --------
    >>> plan_schema()["properties"]["schema_version"]["const"]
    1
    """
    return _read("plan")


def wall_schema() -> dict[str, Any]:
    """Give the JSON Schema of a wall (``wall.json``, ``WallPlan.to_json``), draft 2020-12.

    Returns
    -------
    dict
        The schema, with that of a plan in it; the file is ``schema/wall.schema.json`` in the package.

    Examples
    --------
    >>> wall_schema()["properties"]["schema_version"]["const"]
    1
    """
    schema = _read("wall")
    # Plans stand in walls as they are: a schema in a schema goes by its own name.
    schema["$defs"]["plan"] = plan_schema()
    return schema


def _read(name: str) -> dict[str, Any]:
    text = files("squarewright").joinpath("schema", f"{name}.schema.json").read_text(encoding="utf-8")
    schema: dict[str, Any] = json.loads(text)
    return schema
