"""Lists as people and spreadsheets write them, and as nobody should: made here, byte by byte where it matters."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterable, Sequence
from pathlib import Path

from minisim.stock.model import Identified, Stock
from minisim.stock.reader import read_stock

_SHEET = 'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"'
_RELATIONS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_PACKAGE = 'xmlns="http://schemas.openxmlformats.org/package/2006/relationships"'
_TYPES = 'xmlns="http://schemas.openxmlformats.org/package/2006/content-types"'
_KIND = "application/vnd.openxmlformats-officedocument.spreadsheetml"
_ODS = " ".join(
    f'xmlns:{name}="urn:oasis:names:tc:opendocument:xmlns:{name}:1.0"' for name in ("office", "table", "text", "draw")
)


def read(path: Path, data: bytes | str = b"", **more: object) -> Stock:
    """Write the file, read it as a stock; nothing is looked up in the catalogue."""
    if data:
        path.write_bytes(data.encode() if isinstance(data, str) else data)
    return read_stock(path, identify=Identified, **more)  # type: ignore[arg-type]  # header only


def rows(stock: Stock) -> list[tuple[str, int, str, str]]:
    """What matters of each row: marking, count, condition, box."""
    return [(row.marking, row.count, row.condition.value, row.box) for row in stock.rows]


def told(stock: Stock, *, repaired: bool) -> list[tuple[int, str, str]]:
    """Row, what was seen, what was said."""
    return [(doubt.row, doubt.seen, doubt.said) for doubt in stock.doubts if doubt.repaired is repaired]


def zipped(parts: dict[str, str | bytes], *, method: int = zipfile.ZIP_DEFLATED) -> bytes:
    """A zip file of these parts."""
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w", method) as archive:
        for name, data in parts.items():
            archive.writestr(name, data)
    return target.getvalue()


def xlsx(
    sheet: str, *, shared: str = "", styles: str = "", after: str = "", names: Sequence[str] = ("Sheet1",)
) -> bytes:
    """A small .xlsx whose first sheet has `sheet` as its rows; `after` stands behind them."""
    return zipped(xlsx_parts(sheet, shared=shared, styles=styles, after=after, names=names))


def xlsx_parts(
    sheet: str, *, shared: str = "", styles: str = "", after: str = "", names: Sequence[str] = ("Sheet1",)
) -> dict[str, str | bytes]:
    """The parts of such a file."""
    entries = "".join(f'<sheet name="{n}" sheetId="{i}" r:id="s{i}"/>' for i, n in enumerate(names, 1))
    relations = "".join(
        f'<Relationship Id="s{i}" Type="{_RELATIONS}/worksheet" Target="worksheets/sheet{i}.xml"/>'
        for i in range(1, len(names) + 1)
    )
    for kind in ("sharedStrings", "styles"):
        relations += f'<Relationship Id="{kind}" Type="{_RELATIONS}/{kind}" Target="{kind}.xml"/>'
    kinds = "".join(
        f'<Override PartName="/xl/{part}.xml" ContentType="{_KIND}.{kind}+xml"/>'
        for part, kind in (("workbook", "sheet.main"), ("sharedStrings", "sharedStrings"), ("styles", "styles"))
    )
    return {
        "[Content_Types].xml": f"<Types {_TYPES}>{kinds}</Types>",
        "_rels/.rels": f'<Relationships {_PACKAGE}><Relationship Id="r1" Type="{_RELATIONS}/officeDocument" '
        'Target="xl/workbook.xml"/></Relationships>',
        "xl/workbook.xml": f'<workbook {_SHEET} xmlns:r="{_RELATIONS}"><sheets>{entries}</sheets></workbook>',
        "xl/_rels/workbook.xml.rels": f"<Relationships {_PACKAGE}>{relations}</Relationships>",
        "xl/sharedStrings.xml": shared or f"<sst {_SHEET}/>",
        "xl/styles.xml": styles or f"<styleSheet {_SHEET}/>",
        "xl/worksheets/sheet1.xml": f"<worksheet {_SHEET}><sheetData>{sheet}</sheetData>{after}</worksheet>",
        **{
            f"xl/worksheets/sheet{i}.xml": f"<worksheet {_SHEET}><sheetData/></worksheet>"
            for i in range(2, len(names) + 1)
        },
    }


def line(number: int, cells: Iterable[str], more: str = "") -> str:
    """A row of an .xlsx; each cell is a text."""
    inner = "".join(
        f'<c r="{chr(65 + index)}{number}" t="inlineStr"><is><t>{cell}</t></is></c>' for index, cell in enumerate(cells)
    )
    return f'<row r="{number}"{more}>{inner}</row>'


def ods(tables: str, *, mimetype: str = "application/vnd.oasis.opendocument.spreadsheet") -> bytes:
    """A small .ods with these tables."""
    content = (
        f"<office:document-content {_ODS}><office:body><office:spreadsheet>{tables}</office:spreadsheet></office:body>"
        "</office:document-content>"
    )
    manifest = (
        '<manifest:manifest xmlns:manifest="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0" manifest:version="1.2">'
        f'<manifest:file-entry manifest:full-path="/" manifest:media-type="{mimetype}"/></manifest:manifest>'
    )
    return zipped(
        {"mimetype": mimetype, "content.xml": content, "META-INF/manifest.xml": manifest}, method=zipfile.ZIP_STORED
    )


def table(lines: str, name: str = "Boards") -> str:
    """A table of an .ods."""
    return f'<table:table table:name="{name}">{lines}</table:table>'


def cells(*texts: str) -> str:
    """A row of an .ods; each cell is a text, or a cell already made."""
    made = [
        text
        if text.startswith("<")
        else f'<table:table-cell office:value-type="string"><text:p>{text}</text:p></table:table-cell>'
        for text in texts
    ]
    return f"<table:table-row>{''.join(made)}</table:table-row>"
