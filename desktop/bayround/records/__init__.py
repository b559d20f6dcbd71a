"""Storage: the farm file and everything written to or read from it. The only SQL in the program.

Facts go in and facts come out; no row, column or session leaves this package.

farm_file    make and open a farm file (SQLite); everything that can be wrong with one, in words
store        an open farm file: `reading()` and `writing()` transactions
tables       one table a kind of fact (made of `columns`); codec turns rows into facts and back
read_season, read_parts, read_visit, read_work    what is asked of it
write_setup, write_visit, write_work    what is told to it
corrections  the history of changed values, chained by hashes
backup, rotation    verified copies, which of them stay, and the way back
check, rules        what is wrong inside a file, and what can't be true of a farm
upgrades     the steps from one version of the file to the next
lock, placing, problems            who writes, how files get their names, errors in words
"""
