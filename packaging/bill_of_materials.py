"""The list of all that ships in the packed program, as CycloneDX: for whoever must know whether a fault elsewhere is in here."""

from datetime import UTC, datetime
from pathlib import Path
from uuid import NAMESPACE_URL, uuid5

import shipped
from cyclonedx.factory.license import LicenseFactory
from cyclonedx.model.bom import Bom, BomMetaData
from cyclonedx.model.component import Component, ComponentType
from cyclonedx.output.json import JsonV1Dot6
from cyclonedx.schema import SchemaVersion
from cyclonedx.validation.json import JsonStrictValidator
from packageurl import PackageURL

from workbook.tasks.notices import Notice, notices


def write(out: Path, when: int) -> Path:
    """The file, written to `out`; `when`: its time, s since 1970. Ends the build when it is not as the standard has it."""
    own, *rest = notices()
    bill = Bom(metadata=BomMetaData(component=_component(own, ComponentType.APPLICATION)))
    bill.metadata.timestamp = datetime.fromtimestamp(when, UTC)
    bill.serial_number = uuid5(NAMESPACE_URL, f"makers-workbook {own.version} {when}")
    parts = [_component(notice, ComponentType.LIBRARY) for notice in [*rest, *shipped.packed()]]
    for part in parts:
        bill.components.add(part)
    bill.register_dependency(bill.metadata.component, parts)
    text = JsonV1Dot6(bill).output_as_string(indent=1)
    trouble = JsonStrictValidator(SchemaVersion.V1_6).validate_str(text)
    if trouble is not None:
        raise SystemExit(f"Failed: the list of what ships is not CycloneDX: {trouble}")
    file = out / f"makers-workbook-{own.version}.cdx.json"
    file.write_text(text, encoding="utf-8")
    return file


def _component(notice: Notice, kind: ComponentType) -> Component:
    """A part as the standard has it; a package of Python's index by its address there, one of Debian by Debian's."""
    source = (
        "pypi" if notice.name not in shipped.packed_names() else "deb/debian" if notice.licence == shipped.AS_TOLD else "generic"
    )
    kind_of, _slash, space = source.partition("/")
    url = PackageURL(kind_of, space or None, notice.name, notice.version)
    licences = [] if notice.licence == shipped.AS_TOLD else [LicenseFactory().make_from_string(notice.licence)]
    return Component(type=kind, name=notice.name, version=notice.version, purl=url, licenses=licences, bom_ref=str(url))
