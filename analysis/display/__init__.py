"""What a person reads: words and figures in the owner's units, tables, charts and sections.

Gets values in SI units and a `words.Display`; answers with text, HTML and pictures in which
whatever a person wrote is harmless (`markup`).

`sections` has what pages are made of, `tables`, `figure` and `checklist` what stands in a section;
`charts`, `bars`, `day_axis` and `theme` what pictures share; `words`, `thing_names`, `rounding`
and `load_shown` what sentences do; `cautions` every caution, by what can hurt. `late_grammar` keeps
what draws from compiling a grammar that it does not ask.
"""

from .late_grammar import put_off

# Before any module of this room, or of one above it, imports what draws.
put_off()
