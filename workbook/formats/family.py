"""Families of templates: the TOML data files under resources/templates. Lengths in mm."""

from enum import StrEnum
from functools import cache
from typing import TYPE_CHECKING, Any, TypeVar

from workbook.later import library
from workbook.paths import resource
from workbook.template.model import (
    Bevel,
    Blade,
    EdgeForm,
    Face,
    Fittings,
    Grind,
    Handle,
    Heel,
    HeelForm,
    Held,
    HolePattern,
    PointShape,
    Purpose,
    SpineForm,
    Tang,
    TangForm,
    Taper,
    Template,
)
from workbook.texts import of_file

if TYPE_CHECKING:
    import tomllib
else:
    tomllib = library("tomllib")  # loaded with the first family: no start needs it

_FORMS: dict[tuple[type, str], type[StrEnum]] = {
    (PointShape, "spine"): SpineForm,
    (PointShape, "edge"): EdgeForm,
    (Heel, "form"): HeelForm,
    (Tang, "form"): TangForm,
    (Grind, "bevel"): Bevel,
    (Grind, "face"): Face,
    (Grind, "held"): Held,
    (Grind, "taper"): Taper,
    (HolePattern, "purpose"): Purpose,
}
_Group = TypeVar("_Group")


@cache
def family_ids() -> tuple[str, ...]:
    """Ids of the shipped families, in the order of the shelf: by name."""
    return tuple(sorted(path.stem for path in resource("templates").glob("*.toml")))


@cache
def family(family_id: str) -> Template:
    """A family's template as shipped. Raises KeyError for an unknown id, TypeError where the data file has an unknown key."""
    if family_id not in family_ids():
        raise KeyError(family_id)
    data = tomllib.loads(resource("templates", f"{family_id}.toml").read_text(encoding="utf-8"))
    return Template(
        name=of_file(data["name"]),
        family=family_id,
        use=data["use"],
        blade=_group(Blade, data["blade"]),
        point=_group(PointShape, data["point"]),
        heel=_group(Heel, data["heel"]),
        handle=_group(Handle, data["handle"]),
        fittings=_group(Fittings, data.get("fittings", {})),
        tang=_group(Tang, data["tang"]),
        grind=_group(Grind, data["grind"]),
        patterns=tuple(_group(HolePattern, p) for p in data.get("pattern", ())),
    )


def _group(kind: type[_Group], data: dict[str, Any]) -> _Group:
    return kind(**{key: as_form(kind, key, value) for key, value in data.items()})


def as_form(kind: type, key: str, value: Any) -> Any:
    """Convert a word to the enumeration of its field and a whole number, except a count, to a float; the rest is unchanged."""
    form = _FORMS.get((kind, key))
    if form is not None:
        return form(value)
    return float(value) if isinstance(value, int) and not isinstance(value, bool) and key != "count" else value


def form_words(kind: type, key: str) -> tuple[str, ...] | None:
    """The words a field may hold, or None when it is not a choice."""
    form = _FORMS.get((kind, key))
    return tuple(form) if form else None
