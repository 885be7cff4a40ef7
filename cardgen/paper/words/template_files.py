"""The templates of a folder as texts; nothing is made of them here."""

from dataclasses import dataclass
from pathlib import Path

from cardgen.bounds import read_file
from cardgen.paper.paper_error import TemplateError

ANSWER = "stock_answer"  # the template of what `stock` says


@dataclass(frozen=True)
class TemplateFiles:
    """A folder of templates as it was read: what is drawn is what the card's code was reckoned from."""

    folder: Path
    texts: tuple[tuple[str, str], ...]  # name and text of each file, in the order of the names

    @classmethod
    def read(cls, folder: Path) -> "TemplateFiles":
        """Read a folder; raises TemplateError for a file of which text or name is not UTF-8."""
        texts = []
        for path in sorted(folder.iterdir()):
            if path.suffix in (".j2", ".yaml") and path.is_file():
                try:
                    path.name.encode("utf-8")
                    texts.append((path.name, read_file(path, "template.file").decode("utf-8")))
                except OSError as trouble:
                    raise TemplateError(f"{path}: {trouble.strerror}") from None
                except UnicodeEncodeError:
                    raise TemplateError(f"{path}: its name is not UTF-8 text; rename it") from None
                except UnicodeDecodeError as wrong:
                    place = f"{wrong.reason} at byte {wrong.start}"
                    raise TemplateError(f"{path}: is not UTF-8 text: {place}") from None
        return cls(folder, tuple(texts))

    def over(self, others: "TemplateFiles") -> "TemplateFiles":
        """These files, and those of the others whose names are not among them."""
        texts = {**dict(others.texts), **dict(self.texts)}
        return TemplateFiles(self.folder, tuple(sorted(texts.items())))

    def text(self, name: str) -> str | None:
        """The text of one file; None where there is none of this name."""
        return dict(self.texts).get(name)
