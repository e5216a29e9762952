"""How did one trip go: what it weighed, what was used, what broke, how cold it was.

Gets one trip of the store; answers with facts, changes since the last trip like it, and chores.

`facts` gathers all of it, `load` what was carried and never taken out, `packed` what that says of
it, `nights` how cold each was against one's own limit, `changes` what is new in base weight,
`events` what was noted of a day. What waits to be done is the answer of the room `wear`.
`page` is the report; there is no table.
"""
