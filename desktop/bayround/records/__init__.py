"""Storage: the farm file and everything written to or read from it. The only SQL in the program.

Facts go in and facts come out; no row, column or session leaves this package.

farm_file    make and open a farm file (SQLite); everything that can be wrong with one, in words
store        an open farm file: `reading()` and `writing()` transactions
tables       one table a kind of fact, with its constraints; codec turns rows into facts and back
read_season, read_visit            what is asked of it
write_setup, write_visit, write_work    what is told to it
corrections  the history of changed values, chained by hashes
backup, rotation, check            verified copies, which of them stay, and what is wrong inside
upgrades     the steps from one version of the file to the next
lock, placing, problems            who writes, how files get their names, errors in words
"""
