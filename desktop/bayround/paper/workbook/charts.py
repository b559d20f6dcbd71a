"""Native charts. Dark marks on white, no colour needed: they read the same on a grey printer."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bayround.paper.workbook import page
from bayround.paper.workbook.cells import Pen
from bayround.paper.workbook.contents import Contents
from bayround.paper.workbook.styles import BLACK, LINE_GREY
from bayround.paper.workbook.tables import Styled, Table, letter

if TYPE_CHECKING:
    from openpyxl.chart.series import Series
    from openpyxl.chart.shapes import GraphicalProperties
    from openpyxl.chart.stock_chart import StockChart
    from openpyxl.chart.text import RichText
    from openpyxl.worksheet.worksheet import Worksheet

UNDER_A_TABLE_CM = (26.0, 8.0)
_ROWS_OF_A_CHART = 18
_MOST_ROWS_ABOVE = 16
_UPRIGHT_LABELS_FROM = 9


def intervals(
    source: Worksheet, table: Table, value_column: int, title: str, unit: str, size_cm: tuple[float, float]
) -> StockChart:
    """Return a chart of a figure bay by bay: a mark for the figure, a line from its low to its high.

    The figure stands in column *value_column* of *table* on sheet *source*, low and high in the next two,
    the bay's full name in the table's last column. Sorting the table sorts the chart.
    """
    from openpyxl.chart import StockChart
    from openpyxl.chart.axis import ChartLines

    chart = StockChart()
    for place, shape in ((value_column + 2, "dash"), (value_column + 1, "dash"), (value_column, "diamond")):
        chart.series.append(_series(source, table, place, shape))
    chart.hiLowLines = ChartLines(spPr=_line(BLACK, 1.0))
    chart.title = title
    chart.title.tx.rich.p[0].pPr = _small(11, bold=True).p[0].pPr
    chart.legend = None
    chart.plot_visible_only = False
    chart.x_axis.delete = chart.y_axis.delete = False
    chart.x_axis.number_format = "General"
    chart.y_axis.number_format = "General"
    chart.y_axis.title = unit
    chart.y_axis.title.tx.rich.p[0].pPr = _small(9).p[0].pPr
    chart.y_axis.majorGridlines = ChartLines(spPr=_line("D9DDD7", 0.5))
    chart.y_axis.txPr = _small(9)
    chart.x_axis.txPr = _small(8, upright=len(table.rows) >= _UPRIGHT_LABELS_FROM)
    chart.x_axis.tickLblPos = "low"
    chart.graphical_properties = _line(LINE_GREY, 0.5)
    chart.width, chart.height = size_cm
    return chart


def under(
    pen: Pen, contents: Contents, table: Table, last: int, value_column: int, title: str, unit: str
) -> None:
    """Put a chart of *value_column* under a table, on a page of its own when the table is long."""
    from openpyxl.worksheet.pagebreak import Break

    if not has_values(table, value_column):
        return
    sheet = pen.sheet
    chart = intervals(sheet, table, value_column, title, unit, UNDER_A_TABLE_CM)
    sheet.add_chart(chart, f"A{last + 2}")
    if len(table.rows) > _MOST_ROWS_ABOVE:
        sheet.row_breaks.append(Break(id=last))
    page.set_up(
        sheet,
        contents.farm_and_week,
        letter(len(table.heads)),
        last + 1 + _ROWS_OF_A_CHART,
        f"{table.head_row}:{table.head_row}",
    )


def has_values(table: Table, column: int) -> bool:
    """Tell whether a column of the table (1 = first) holds any value."""
    return any(value is not None for value in _numbers(table, column))


def _numbers(table: Table, column: int) -> list[float | None]:
    found: list[float | None] = []
    for row in table.rows:
        value = row[column - 1]
        bare = value.value if isinstance(value, Styled) else value
        found.append(float(bare) if isinstance(bare, int | float) else None)
    return found


def _series(source: Worksheet, table: Table, column: int, shape: str) -> Series:
    """Return one series with its values kept in the chart too (without them Excel draws no lines between)."""
    from openpyxl.chart import Reference
    from openpyxl.chart.data_source import AxDataSource, NumData, NumVal, StrRef
    from openpyxl.chart.marker import Marker
    from openpyxl.chart.series_factory import SeriesFactory
    from openpyxl.chart.shapes import GraphicalProperties

    first = table.head_row + 1
    reference = Reference(source, min_col=column, min_row=first, max_row=table.last_row)
    series = SeriesFactory(reference, title=table.heads[column - 1].title)
    points = [NumVal(idx=place, v=value) for place, value in enumerate(_numbers(table, column)) if value is not None]
    series.val.numRef.numCache = NumData(formatCode="General", ptCount=len(table.rows), pt=points)
    labels = Reference(source, min_col=len(table.heads), min_row=first, max_row=table.last_row)
    series.cat = AxDataSource(strRef=StrRef(f=str(labels)))
    series.smooth = False
    fill = GraphicalProperties(solidFill=BLACK)
    fill.line.solidFill = BLACK
    series.marker = Marker(symbol=shape, size=7 if shape == "diamond" else 5, spPr=fill)
    series.graphicalProperties = GraphicalProperties()
    series.graphicalProperties.line.noFill = True
    return series


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

