"""Native charts. Dark marks on white, no colour needed: they read the same on a grey printer."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

from bayround.paper.workbook import page
from bayround.paper.workbook.cells import Pen, Value, letter, safe_text
from bayround.paper.workbook.contents import Contents
from bayround.paper.workbook.styles import BLACK, LINE_GREY
from bayround.paper.workbook.table import Styled, Table

if TYPE_CHECKING:
    from openpyxl.chart.series import Series
    from openpyxl.chart.shapes import GraphicalProperties
    from openpyxl.chart.stock_chart import StockChart
    from openpyxl.chart.text import RichText
    from openpyxl.chart.title import Title
    from openpyxl.worksheet.worksheet import Worksheet

_ROWS_OF_A_CHART = 16
_UPRIGHT_LABELS_FROM = 9
_EMU_OF_MOST_OF_A_UNIT = 60_000
"""A unit of column width is 7 pixels, 66,675 EMU; a little less keeps the frame inside the print area."""


@dataclass(frozen=True, slots=True)
class Area:
    """Cells that a chart covers, 1 = first; it keeps to them whatever font the computer has."""

    first_row: int
    last_row: int
    first_column: int
    last_column: int


def intervals(source: Worksheet, table: Table, value_column: int, title: str, unit: str) -> StockChart:
    """Return a chart of a figure bay by bay: a mark for the figure, a line from its low to its high.

    The figure stands in column *value_column* of *table* on sheet *source*, low and high in the next two,
    the bay's full name in the table's last column. Sorting the table sorts the chart.
    """
    from openpyxl.chart import StockChart
    from openpyxl.chart.axis import ChartLines

    chart = StockChart()
    for place in (value_column + 2, value_column + 1, value_column):
        chart.series.append(_series(source, table, place, "diamond" if place == value_column else "dash"))
    chart.hiLowLines = ChartLines(spPr=_line(BLACK, 1.0))
    chart.title = _title(title, 11, bold=True)
    chart.legend = None
    chart.x_axis.delete = chart.y_axis.delete = False
    chart.x_axis.number_format = "General"
    chart.y_axis.number_format = "General"
    chart.y_axis.title = _title(unit, 9)
    chart.y_axis.majorGridlines = ChartLines(spPr=_line("D9DDD7", 0.5))
    chart.y_axis.txPr = _small(9)
    chart.x_axis.txPr = _small(8, upright=len(table.rows) >= _UPRIGHT_LABELS_FROM)
    chart.x_axis.tickLblPos = "low"
    chart.graphical_properties = _line(LINE_GREY, 0.5)
    return chart


def put(sheet: Worksheet, chart: StockChart, area: Area) -> None:
    """Put a chart over the cells of *area*."""
    from openpyxl.drawing.spreadsheet_drawing import AnchorMarker, TwoCellAnchor

    width = sheet.column_dimensions[letter(area.last_column)].width
    placed: Any = chart
    placed.anchor = TwoCellAnchor(
        _from=AnchorMarker(col=area.first_column - 1, row=area.first_row - 1),
        to=AnchorMarker(
            col=area.last_column - 1, row=area.last_row - 1, colOff=int(width * _EMU_OF_MOST_OF_A_UNIT)
        ),
    )
    sheet.add_chart(chart)


def under(
    pen: Pen, contents: Contents, table: Table, last: int, value_column: int, title: str, unit: str
) -> None:
    """Put a chart of *value_column* under a table that ends at row *last*; it starts a page when it could be cut."""
    from openpyxl.worksheet.pagebreak import Break

    if not has_values(table, value_column):
        return
    sheet, width = pen.sheet, page.columns(pen.sheet)
    first, end = last + 2, last + 2 + _ROWS_OF_A_CHART
    shown = [n for n in range(1, width + 1) if not sheet.column_dimensions[letter(n)].hidden]
    put(sheet, intervals(sheet, table, value_column, title, unit), Area(first, end, 1, shown[-1]))
    if page.page_of(sheet, end, width, table.head_row) > 0:
        sheet.row_breaks.append(Break(id=last))
    repeat = page.repeated(sheet, table.last_row, width, table.head_row)
    page.set_up(sheet, contents.farm_and_week, letter(width), end, repeat)


def has_values(table: Table, column: int) -> bool:
    """Tell whether a column of the table (1 = first) holds any value."""
    return any(value is not None for value in _numbers(table, column))


def _numbers(table: Table, column: int) -> list[float | None]:
    found: list[float | None] = []
    for row in table.rows:
        bare = _bare(row[column - 1])
        found.append(float(bare) if isinstance(bare, int | float) else None)
    return found


def _bare(value: Value | Styled) -> Value:
    return value.value if isinstance(value, Styled) else value


def _series(source: Worksheet, table: Table, column: int, shape: Literal["dash", "diamond"]) -> Series:
    """Return one series with its values kept in the chart too (without them Excel draws no lines between)."""
    from openpyxl.chart import Reference
    from openpyxl.chart.data_source import AxDataSource, NumData, NumVal, StrData, StrRef, StrVal
    from openpyxl.chart.marker import Marker
    from openpyxl.chart.series_factory import SeriesFactory
    from openpyxl.chart.shapes import GraphicalProperties

    first = table.head_row + 1
    reference = Reference(source, min_col=column, min_row=first, max_row=table.last_row)
    series: Series = SeriesFactory(reference, title=table.heads[column - 1].title)
    points = [
        NumVal(idx=place, v=value) for place, value in enumerate(_numbers(table, column)) if value is not None
    ]
    values: Any = series.val
    values.numRef.numCache = NumData(formatCode="General", ptCount=len(table.rows), pt=points)
    labels = Reference(source, min_col=len(table.heads), min_row=first, max_row=table.last_row)
    names = [StrVal(idx=place, v=safe_text(str(_bare(row[-1])))) for place, row in enumerate(table.rows)]
    series.cat = AxDataSource(strRef=StrRef(f=str(labels), strCache=StrData(ptCount=len(names), pt=names)))
    series.smooth = False
    fill = GraphicalProperties(solidFill=BLACK)
    fill.line.solidFill = BLACK
    series.marker = Marker(symbol=shape, size=7 if shape == "diamond" else 5, spPr=fill)
    series.graphicalProperties = GraphicalProperties()
    series.graphicalProperties.line.noFill = True
    return series


def _title(text: str, size: float, *, bold: bool = False) -> Title:
    from openpyxl.chart.title import title_maker

    title: Any = title_maker(text)
    title.tx.rich.p[0].pPr = _small(size, bold=bold).p[0].pPr
    title.overlay = False
    made: Title = title
    return made


def _line(colour: str, points: float) -> GraphicalProperties:
    from openpyxl.chart.shapes import GraphicalProperties
    from openpyxl.drawing.line import LineProperties

    return GraphicalProperties(ln=LineProperties(solidFill=colour, w=int(points * 12_700)))


def _small(size: float, *, bold: bool = False, upright: bool = False) -> RichText:
    from openpyxl.chart.text import RichText
    from openpyxl.drawing.text import CharacterProperties, Paragraph, ParagraphProperties, RichTextProperties

    look = CharacterProperties(sz=int(size * 100), b=bold)
    body = RichTextProperties(rot=-5_400_000) if upright else RichTextProperties()
    return RichText(bodyPr=body, p=[Paragraph(pPr=ParagraphProperties(defRPr=look), endParaRPr=look)])
