"""Things to do, each with a box to tick: on the screen, and on paper."""

from dataclasses import dataclass

from .markup import clean, escape
from .words import count, quoted

_NAMED = 3
"""So few things of a folded list are named in its line."""

_AT_ONCE = 4
"""A list of so many parts or fewer is broken once alone: two parts stand in a column each."""


@dataclass(frozen=True)
class Task:
    """One thing to do: what, and why or what about it; without a ``box`` it is only named.

    ``things``: how many things it names.
    """

    what: str
    about: str = ""
    box: bool = True
    things: int = 1

    def html(self) -> str:
        """Return it as an item of a list."""
        about = f' <span class="about">{escape(self.about)}</span>' if self.about else ""
        words = f"<span><strong>{escape(self.what)}</strong>{about}</span>"
        if not self.box:
            return f'<li class="boxless">{words}</li>'
        return f'<li><label><input type="checkbox" autocomplete="off">{words}</label></li>'

    def text(self) -> str:
        """Return the same in plain text."""
        return f"{'[ ]' if self.box else '   '} {self.what} {self.about}".rstrip()


@dataclass(frozen=True)
class Checklist:
    """Tasks under one heading. On a page with scripting a tick is remembered in
    that browser; without it lasts as long as the page is open.

    ``part``: so many tasks stay together where the page breaks into columns; a longer list then
    says its heading again, up to four times as long once alone, so that one column does not have
    it twice. 0 keeps all of them together. ``folds``: on a page with scripting it
    begins as its heading with the number of its things, until the reader opens it; it is printed
    whole all the same. ``names_few``: of three things or fewer that heading has the names.
    """

    heading: str
    tasks: tuple[Task, ...]
    part: int = 0
    folds: bool = False
    names_few: bool = False

    @property
    def things(self) -> int:
        """How many things its tasks name."""
        return sum(task.things for task in self.tasks)

    def html(self) -> str:
        """Return the heading and the list; nothing where it has no tasks."""
        if not self.tasks:
            return ""
        parts = -(-len(self.tasks) // self.part) if self.part else 1
        if parts <= _AT_ONCE:
            parts = min(parts, 2)
        size = -(-len(self.tasks) // parts)
        named, shown = f"<h3>{escape(self.heading)}</h3>", []
        # On paper the heading must stay with the first part, which that of a fold does not.
        heading = named.replace("<h3>", '<h3 class="for-print">') if self.folds else named
        for start in range(0, len(self.tasks), size):
            items = "".join(task.html() for task in self.tasks[start : start + size])
            shown.append(f'<div class="tasks">{heading}<ul class="checklist">{items}</ul></div>')
            heading = f'<h3 class="again">{escape(self.heading.split(":")[0])}, continued</h3>'
        lists = "".join(shown)
        if not self.folds:
            return lists
        summary = f"{named} <span>{self._of_what()}</span>"
        return (
            f'<details class="to-open" open><summary>{summary}</summary>'
            f'<div class="opened">{lists}</div></details>'
        )

    def _of_what(self) -> str:
        """What a fold holds: the names of few things, else how many there are."""
        if (
            not self.names_few
            or self.things > _NAMED
            or any(task.things > 1 for task in self.tasks)
        ):
            return count(self.things, "thing")
        return escape(quoted([task.what for task in self.tasks]))

    def text(self) -> str:
        """Return the same in plain text."""
        lines = [task.text() for task in self.tasks]
        return "\n".join(clean(line) for line in [self.heading, *lines] if self.tasks)


@dataclass(frozen=True)
class Sheet:
    """Checklists that are folded under one line, printed on a page of their own.

    Of several in a section those that are open are printed; with none open the first one is.
    caution: what stands on the paper of each but the first, which has that of its section. shown:
    whether it is open to begin with.
    """

    title: str
    lists: tuple[Checklist, ...]
    caution: str = ""
    shown: bool = False

    def html(self) -> str:
        """Return the line and, under it, the lists; nothing where they have no tasks."""
        body = "".join(each.html() for each in self.lists)
        if not body:
            return ""
        care = f'<p class="on-paper">Take care. {escape(self.caution)}</p>' if self.caution else ""
        opened = " open" if self.shown else ""
        return (
            f'<details class="tarebook-fold sheet"{opened}><summary>{escape(self.title)}</summary>'
            f"{care}{body}</details>"
        )

    def text(self) -> str:
        """Return the same in plain text."""
        return "\n".join([clean(self.title), *(each.text() for each in self.lists)])
