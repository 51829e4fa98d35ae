"""A drawing made on the spot and read as a template."""

import ezdxf
import pytest

from tests.formats.dxf_drawings import template


@pytest.fixture
def drawing(tmp_path):
    """Makes a DXF file from what a function draws and reads it as a template."""

    def read(draw, code=4, unit=None, version="R2010"):
        document = ezdxf.new(version)
        document.header["$INSUNITS"] = code
        draw(document.modelspace())
        document.saveas(tmp_path / "drawn.dxf")
        return template(tmp_path / "drawn.dxf", unit)

    return read
