"""The weekly workbook, one module a sheet; `book.write` makes it."""
