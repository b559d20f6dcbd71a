"""Workbook, walk sheets, data package, imports: the only openpyxl in the program."""
