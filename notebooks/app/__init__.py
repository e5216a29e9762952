"""The form for the evening after a trip, as `tarebook log` opens it in a browser.

`server` serves one notebook on this machine alone and ends when it is told; `log.ipynb` shows the
`widget`, whose front end lies in `front/`. `offered` says which trips there are and what is owned,
`document` turns what a trip's files say into what the form shows and back, `cells` reads what was
typed, `dropped` says what tracks and thermometers make of the days. `page/` is the page around it.
"""
