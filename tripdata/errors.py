"""The errors that a person can cause; each is one clear line, never a traceback."""


class TarebookError(Exception):
    """Root of every error that a person can cause.

    The message says where, what was expected, what was got and what to do next, in one line.
    """


class LogbookError(TarebookError):
    """The folder is not a logbook, or a file that everything needs cannot be used."""


class StoreError(TarebookError):
    """The derived store cannot be written or read."""


class QuestionError(TarebookError):
    """A report or table was asked for something that the logbook cannot answer."""


class ChangedMeanwhileError(TarebookError):
    """A file is no longer what was read when a change of it was prepared; nothing was written."""
