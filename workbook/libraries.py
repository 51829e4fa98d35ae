"""Libraries that write and read files, each loaded when first used: a command or a window that needs none of them does not wait
the tenths of a second that they take to import.
"""

from threading import RLock
from typing import TYPE_CHECKING

from workbook.later import library

__all__ = [
    "DRAWS_PDF", "WRITES_PDF",
    "dxf_enums", "dxf_path", "ezdxf", "pdf_canvas", "pdf_fonts", "pdf_metrics", "pypdfium2", "qr_encoder", "reportlab",
]  # fmt: skip

# reportlab's fonts and PDFium serve one thread at a time: a sheet may be shown while another is written
WRITES_PDF, DRAWS_PDF = RLock(), RLock()

if TYPE_CHECKING:
    import ezdxf
    import pypdfium2
    import reportlab.rl_config
    from ezdxf import enums as dxf_enums
    from ezdxf import path as dxf_path
    from reportlab.graphics.barcode import qrencoder as qr_encoder
    from reportlab.pdfbase import pdfmetrics as pdf_metrics
    from reportlab.pdfbase import ttfonts as pdf_fonts
    from reportlab.pdfgen import canvas as pdf_canvas
else:
    ezdxf, dxf_enums, dxf_path = library("ezdxf"), library("ezdxf.enums"), library("ezdxf.path")
    pypdfium2, reportlab = library("pypdfium2"), library("reportlab")
    pdf_canvas, pdf_fonts = library("reportlab.pdfgen.canvas"), library("reportlab.pdfbase.ttfonts")
    pdf_metrics, qr_encoder = library("reportlab.pdfbase.pdfmetrics"), library("reportlab.graphics.barcode.qrencoder")
