"""Files as thermometers write them: how one is laid out, what it says, what it comes to by night.

`logger` is one kind of file, `described` its table in `tarebook.toml`, `layout` where its columns
stand in a file, `misplaced` what is said where they do not, `own_records` its rows as the reader
takes them, `times` its clock, `clocks` whether that is the camp's, `units_named` the units that a
text names, `unit_columns` those that rows name, `columns` how headers are matched. `recognise`
makes out a file that nobody has described, with `shape`, `candidates` and `time_forms`, and `paste`
words what to write into `tarebook.toml`; `readings` reads a file outside of a logbook, `nights`
gives its lows, `keeping` puts it into a trip.
"""
