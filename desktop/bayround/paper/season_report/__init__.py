"""The season report for the owner: a workbook and pages to print."""
