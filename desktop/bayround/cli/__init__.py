"""The command line: one module a command. What it prints is what the window and the workbook show.

Each command imports the actions it calls when it runs, so that help, version and wrong use answer at once.
"""
