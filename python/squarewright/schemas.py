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
    text = files("squarewright").joinpath("schema", "plan.schema.json").read_text(encoding="utf-8")
    schema: dict[str, Any] = json.loads(text)
    return schema
