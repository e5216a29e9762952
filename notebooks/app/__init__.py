"""The form for the evening after a trip, as `tarebook log` opens it in a browser.

`server` serves one notebook to this machine alone, with `handlers` for the debrief and the end;
the notebook shows the `widget`, whose front end lies in `front`, on the page in `page`. `offered`
says which trips there are and what is owned; `beginning` begins one. `showing` turns an entry into
what stands in the fields, `saying` that into an entry, its days by `days_typed`; `fields` tells at
its field what is wrong, `cells` reads what was typed. `dropped` says what tracks and thermometers
make of the days. `use` counts the ticks of a list. `merging` puts two
windows together, `codec` keeps an entry in a draft.
"""
