"""The workbook of all weeks: the weekly workbook's tables below one another, tidy, ready for a pivot table."""
