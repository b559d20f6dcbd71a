"""The walk sheet as a workbook to fill in on a tablet or phone: protected outside the cells to type into."""
