"""The store, opened for reading: its views, its rows, the scope of trips a question looks at.

Gets the file that `tripdata` loaded; answers with rows and records, types and units as its views
have them.

`opening` opens it, `rows` asks a question that lies in a room's `sql`, `own_question` one that
somebody brings along. `scope` and `trip_choice` say which trips are meant, `typed` and `settings`
read what a person typed, `set_aside` counts what could not be loaded, `remember` keeps answers on
the whole logbook, `not_over` says which trips count though they are not over, `weight_class` is the
class of a base weight. `sql/staging` and `sql/marts` are the views; beside them lie questions that
several rooms ask.
"""
