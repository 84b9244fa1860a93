"""The errors this program raises on purpose; each text says what, where and what to do next."""


class FixplanError(Exception):
    """Base of every error that is told to the user in one sentence."""


class CaseFileError(FixplanError):
    """A case file that cannot be read or written."""


class CaseChangedError(CaseFileError):
    """A case file that something else has changed since it was opened."""


class ExerciseError(FixplanError):
    """An exercise, or an answer to one, that cannot be read, written or marked."""


class LibraryError(FixplanError):
    """A file in resources/ or a house file that does not hold what it should."""


class EditError(FixplanError):
    """A change to the case that cannot be made."""


class GeometryError(FixplanError):
    """A polygon or path that geometry cannot work with."""


class UnstableFrame(FixplanError):
    """A frame with a part that is free to move."""


class TraysError(FixplanError):
    """A file of trays that does not hold what it should, or cannot be written."""


class FilmError(FixplanError):
    """A picture of the patient that cannot be read, kept or laid under the drawing."""


class TripsError(FixplanError):
    """A time, a zone, a guideline or a trip that cannot be told."""


class NotesError(FixplanError):
    """A document for the case notes that cannot be made."""
