"""Things to do, each with a box to tick: on the screen, and on paper."""

from dataclasses import dataclass

from .markup import clean, escape


@dataclass(frozen=True)
class Task:
    """One thing to do: what, and why or what about it."""

    what: str
    about: str = ""


@dataclass(frozen=True)
class Checklist:
    """Tasks under one heading. A tick lasts as long as the page is open."""

    heading: str
    tasks: tuple[Task, ...]

    def html(self) -> str:
        """Return the heading and the list; nothing where it has no tasks."""
        if not self.tasks:
            return ""
        items = "".join(
            f'<li><label><input type="checkbox" autocomplete="off"><span><strong>'
            f"{escape(task.what)}</strong>"
            + (f' <span class="about">{escape(task.about)}</span>' if task.about else "")
            + "</span></label></li>"
            for task in self.tasks
        )
        return f'<h3>{escape(self.heading)}</h3><ul class="checklist">{items}</ul>'

    def text(self) -> str:
        """Return the same in plain text."""
        lines = [f"[ ] {task.what} {task.about}".rstrip() for task in self.tasks]
        return "\n".join(clean(line) for line in [self.heading, *lines] if self.tasks)
