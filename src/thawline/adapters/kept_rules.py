"""The protocol files that a site has adopted, kept under the hash of their exact bytes."""

import os
from pathlib import Path
from typing import TYPE_CHECKING

from thawline.base.errors import NotFoundError, RuleError
from thawline.rules.protocol import Protocol, ProtocolRef

if TYPE_CHECKING:
    from thawline.rules.reading import RuleFile


class KeptRules:
    """Protocol files in a site's folder."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._read: dict[str, Protocol] = {}

    def protocol(self, ref: ProtocolRef) -> Protocol:
        """
        Return the protocol of that hash.

        Raises:
            NotFoundError: Its bytes are not kept here.
            RuleError: The kept bytes were changed.
        """
        if ref.sha256 not in self._read:
            self._read[ref.sha256] = self.file(ref).protocol
        return self._read[ref.sha256]

    def file(self, ref: ProtocolRef) -> "RuleFile":
        """Return the file of that hash, with its bytes; raises as `protocol` does."""
        from thawline.adapters.signing import refuse_changed  # noqa: PLC0415  when one is read
        from thawline.rules.reading import read_protocol  # noqa: PLC0415  the same

        path = self.path_of(ref)
        try:
            file = read_protocol(path.read_bytes())
        except FileNotFoundError as error:
            raise NotFoundError(
                f"{ref.id} version {ref.version} is not kept here",
                advice="copy its file back into the site's protocols folder",
            ) from error
        refuse_changed(path, file.raw)
        if file.ref.sha256 != ref.sha256:
            raise RuleError(
                f"{path.name} was changed after it was adopted",
                advice="copy the adopted file back; adopt a change as a new version",
            )
        return file

    def keep(self, file: "RuleFile") -> None:
        """Keep a file's exact bytes; on disk when this returns."""
        path = self.path_of(file.ref)
        fresh = path.with_suffix(".new")
        with fresh.open("wb") as out:
            out.write(file.raw)
            out.flush()
            os.fsync(out.fileno())
        fresh.replace(path)

    def path_of(self, ref: ProtocolRef) -> Path:
        """Return where the file of that hash is kept."""
        return self._folder / f"{ref.id}-{ref.version}-{ref.sha256[:12]}.toml"
