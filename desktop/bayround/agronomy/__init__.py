"""Numbers in, numbers out: every computation of the program that could be checked with pencil and paper.

No module here knows of Qt, SQL, files, the clock or any other package of the program. Results are frozen
dataclasses; impossible input raises ``ValueError``; a question the data cannot answer gives a ``Refused``.
"""
