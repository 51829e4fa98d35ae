"""Papers of orders and knives, and a year's tables, by the commands: what they say, to the cent, and what they refuse."""

from decimal import Decimal
from io import BytesIO

import openpyxl
import pypdfium2
import pytest

from tests.model.test_year_tables import book
from workbook.cli.main import main
from workbook.document.making import standing_of
from workbook.document.shop_records import PieceRecord
from workbook.storage.body import BookBody
from workbook.storage.file import written
from workbook.structs import replace


def with_shop(document):
    """The shop with a name, which prints units of mm on A4."""
    settings = replace(
        document.settings, shop="Harbour Blades", address="Quay 4", contact="hello@harbour.example", unit="mm", paper="a4"
    )
    return type(document)({**document.records, settings.id: settings})


@pytest.fixture(scope="module")
def shop_file(tmp_path_factory):
    file = tmp_path_factory.mktemp("shop") / "mine.shopbook"
    file.write_bytes(written(BookBody(with_shop(book()))))
    return file


@pytest.fixture
def made(shop_file, tmp_path):
    """Runs the command, and gives the texts of the pages it wrote."""

    def run(*arguments):
        assert main(["sheets", str(shop_file), "--out", str(tmp_path), "--quiet", "--paper", "a4", *arguments]) == 0
        found = {}
        for file in sorted(tmp_path.glob("*.pdf")):
            pages = pypdfium2.PdfDocument(file.read_bytes())
            assert all(abs(page.get_width() - 595.3) < 1 for page in pages)
            found[file.name] = " ".join(page.get_textpage().get_text_bounded() for page in pages).replace("\r\n", " ")
        return found

    return run


def test_an_orders_invoice_receipt_and_packing_slip(made):
    files = made("--what", "invoice,receipt,packing", "--order", "1")
    papers = ["packing-1-the-slipway-galley.pdf", "receipt-1-the-slipway-galley.pdf"]
    assert list(files) == ["invoice-1.pdf", "invoice-2.pdf", "invoice-3.pdf", *papers]
    wrong, cancels, invoice, packing, receipt = files.values()
    assert "Invoice 1, canceled by invoice 2" in wrong
    assert "Invoice 2, cancels invoice 1" in cancels and "-$960.01" in cancels.replace("−", "-")
    for words in ("Harbour Blades", "Invoice 3", "December 2, 2026", "Galley", "quay", "$266.67", "$800.01", "$9.99", "$56.70",
                  "$866.70", "$300.00", "$566.70"):  # fmt: skip
        assert words in invoice, words
    for words in ("Packing slip, order 1", "26-01, 26-02", "blade 139.7 mm", "green linen laminate", "Check your local law"):
        assert words in packing, words
    assert "blade guard" in packing and "Check local rules" not in invoice
    assert "$" not in packing and "26-03" not in packing
    for words in ("Receipt, order 1", "$300.00", "$500.10", "paid back", "$780.10", "$86.60"):
        assert words in receipt, words
    assert "$33.33" not in receipt  # it was entered wrong and taken back


def test_a_knifes_care_card_history_and_receipt(made):
    files = made("--what", "care,history,sale-receipt", "--serials", "26-03", "--tell", "steel,hours")
    assert list(files) == ["care-26-03.pdf", "history-26-03.pdf", "sale-26-03.pdf"]
    care, history, sale = files.values()
    for words in ("26-03", "52100", "61 HRC", "This steel rusts", "resin laminate", "dishwasher", "hello@harbour.example"):
        assert words in care, words
    minutes = standing_of(book(), book().get("a3", PieceRecord)).minutes
    for words in ("Okafor", "52100", f"{minutes // 60:.0f}:{round(minutes % 60):02}", "Repaired", "December 29, 2026"):
        assert words in history, words
    assert "Heat treatment" not in history and "Sharpen" not in history and "blade 140" not in history
    for words in ("$280.01", "$19.60", "$299.61", "Okafor", "7%"):  # 280.01 and 7 % of it
        assert words in sale, words


def test_a_batch_gives_cards_for_its_finished_knives_only(made):
    files = made("--what", "care", "--batch", "1")
    ((name, told),) = files.items()
    assert name == "care-26-01-to-26-05.pdf" and "26-05" in told and "26-04" not in told  # which was lost


REFUSED = {
    ("--what", "invoice"): "invoice needs one. The orders are 1, 2, 3.",
    ("--what", "invoice", "--order", "9"): "there is no order 9. The orders are 1, 2, 3.",
    ("--what", "invoice", "--order", "2"): "the order has none. Issue one",
    ("--what", "receipt", "--order", "2"): "nothing was paid",
    ("--what", "packing", "--order", "2"): "no knife of the order is ready",
    ("--what", "care", "--serials", "99-01"): "no blade has the serial 99-01",
    ("--what", "care", "--batch", "2"): "none of these knives is finished",
    ("--what", "care", "--serials", "26-01,26-06"): "26-06 is not finished",
    ("--what", "care"): "none of these knives is finished",  # of the newest batch
    ("--what", "sale-receipt", "--serials", "26-01"): "none of these knives was sold without an order",
}


@pytest.mark.parametrize(("arguments", "why"), REFUSED.items())
def test_what_cannot_be_printed_is_said_and_nothing_is_written(shop_file, tmp_path, capsys, arguments, why):
    assert main(["sheets", str(shop_file), "--out", str(tmp_path / "out"), *arguments]) == 1
    assert why in capsys.readouterr().err and not (tmp_path / "out").exists()


def test_papers_of_a_shop_are_not_of_a_job(demo_file, tmp_path, capsys):
    assert main(["sheets", str(demo_file), "--out", str(tmp_path / "out"), "--what", "sheets", "--order", "1"]) == 1
    assert "--order belongs to a shop book" in capsys.readouterr().err


def test_a_year_is_written_as_a_spreadsheet_and_as_csv(shop_file, tmp_path, capsys):
    assert main(["book", str(shop_file), "--tables", str(tmp_path / "out"), "--year", "2026"]) == 0
    sheets = openpyxl.load_workbook(BytesIO((tmp_path / "out" / "2026.xlsx").read_bytes()), data_only=True)
    total = list(sheets["Payments"].values)[-1]
    assert total[0] == "Total" and Decimal(str(total[4])) == Decimal("800.10")
    assert "2026-payments.csv" in capsys.readouterr().out
    assert main(["book", str(shop_file), "--tables", str(tmp_path / "none"), "--year", "2019"]) == 1
    assert "nothing was entered for 2019" in capsys.readouterr().err and not (tmp_path / "none").exists()
    with pytest.raises(SystemExit):
        main(["book", str(shop_file), "--tables", str(tmp_path / "none"), "--year", "last"])
    assert "--year" in capsys.readouterr().err
