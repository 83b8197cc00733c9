"""Frozen dataclasses of core as JSON values and back: dates, times and nested dataclasses too.

A field at its default is left out, so that a field added to core needs no migration where it has a default.
"""

from __future__ import annotations

import types
from collections.abc import Mapping
from dataclasses import MISSING, Field, fields, is_dataclass
from datetime import date, datetime, time
from functools import cache
from typing import Any, TypeVar, Union, get_args, get_origin, get_type_hints

T = TypeVar("T")


def to_json(value: Any) -> Any:
    """The value in JSON's own types; a dataclass becomes an object without its fields at default."""
    if is_dataclass(value) and not isinstance(value, type):
        return {f.name: to_json(v) for f in fields(value) if not _is_default(f, v := getattr(value, f.name))}
    if isinstance(value, datetime):
        if value.tzinfo is None:
            raise ValueError(f"an instant without a zone cannot be kept: {value!r}")
        return value.isoformat()
    if isinstance(value, date | time):
        return value.isoformat()
    if isinstance(value, Mapping):
        return {str(k): to_json(v) for k, v in value.items()}
    if isinstance(value, tuple | list):
        return [to_json(v) for v in value]
    return value


def from_json(cls: type[T], values: Mapping[str, Any], **more: Any) -> T:
    """The dataclass with these JSON values, `more` laid over them as they are.

    Raises:
        TypeError: a field without a default is missing.
    """
    hints = _hints(cls)  # type: ignore[arg-type]
    given = {name: _value(hints[name], v) for name, v in values.items() if name in hints}
    return cls(**(given | more))


def field_from_json(cls: type[Any], name: str, value: Any) -> Any:
    """The value of one field of that dataclass out of its JSON."""
    return _value(_hints(cls)[name], value)  # type: ignore[arg-type]


def _is_default(f: Field[Any], value: Any) -> bool:
    if f.default is not MISSING:
        return bool(value == f.default) and type(value) is type(f.default)
    return f.default_factory is not MISSING and value == f.default_factory()


@cache
def _hints(cls: Any) -> dict[str, Any]:
    named = {f.name for f in fields(cls)}
    return {name: hint for name, hint in get_type_hints(cls).items() if name in named}


def _value(hint: Any, value: Any) -> Any:
    if value is None:
        return None
    origin = get_origin(hint)
    if origin in (Union, types.UnionType):
        return _value(next(a for a in get_args(hint) if a is not type(None)), value)
    if origin is tuple:
        return tuple(_value(get_args(hint)[0], v) for v in value)
    if hint in (date, time, datetime):
        return hint.fromisoformat(value)
    if hint is float:
        return float(value)
    if isinstance(hint, type) and is_dataclass(hint):
        return from_json(hint, value)
    return value
