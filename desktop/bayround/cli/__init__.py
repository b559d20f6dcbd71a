"""The command line: one module a command. What it prints is what the window and the workbook show."""
