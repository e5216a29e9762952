"""Things to do, each with a box to tick: on the screen, and on paper."""

from dataclasses import dataclass

from .markup import clean, escape


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
    """Tasks under one heading. A tick lasts as long as the page is open."""

    heading: str
    tasks: tuple[Task, ...]

    def html(self) -> str:
        """Return the heading and the list; nothing where it has no tasks."""
        if not self.tasks:
            return ""
        items = "".join(task.html() for task in self.tasks)
        return f'<h3>{escape(self.heading)}</h3><ul class="checklist">{items}</ul>'

    def text(self) -> str:
        """Return the same in plain text."""
        lines = [task.text() for task in self.tasks]
        return "\n".join(clean(line) for line in [self.heading, *lines] if self.tasks)
