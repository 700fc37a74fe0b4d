"""Files that are sent to us: never more of one is kept than is allowed, however long it is."""

from io import BytesIO
from typing import Any

from django.core.files.uploadedfile import InMemoryUploadedFile
from django.core.files.uploadhandler import FileUploadHandler

MEGABYTE = 1024 * 1024
MOST_BYTES = 30 * MEGABYTE
"""Of all files of one request together. What a form allows of one file may be less."""

CHUNK_BYTES = 64 * 1024


class BoundedUploadHandler(FileUploadHandler):
    """Keeps the files of a request in memory up to `MOST_BYTES` in all, and of whatever is beyond only its length.

    A file beyond that arrives without contents and with its true length, so that the form can say what was wrong and
    keep everything else that was typed: ask `came_whole`.
    """

    chunk_size = CHUNK_BYTES

    def __init__(self, request: Any = None) -> None:
        super().__init__(request)
        self.kept_bytes = 0

    def new_file(self, *args: Any, **kwargs: Any) -> None:
        super().new_file(*args, **kwargs)
        self.contents = BytesIO()
        self.is_whole = True

    def receive_data_chunk(self, raw_data: bytes, start: int) -> None:
        if self.is_whole and self.kept_bytes + len(raw_data) > MOST_BYTES:
            self.is_whole = False
            self.kept_bytes -= self.contents.tell()
            self.contents = BytesIO()
        if self.is_whole:
            self.contents.write(raw_data)
            self.kept_bytes += len(raw_data)

    def file_complete(self, file_size: int) -> InMemoryUploadedFile:
        self.contents.seek(0)
        return InMemoryUploadedFile(
            file=self.contents,
            field_name=self.field_name,
            name=self.file_name,
            content_type=self.content_type,
            size=file_size,
            charset=self.charset,
            content_type_extra=self.content_type_extra,
        )


def came_whole(file: Any) -> bool:
    """Whether a file arrived with its contents, or was too long to be kept."""
    return bool(file.size <= MOST_BYTES and file.file.getbuffer().nbytes == file.size)


def length_in_words(size: int) -> str:
    """The length of a file as a person says it: 640 kB, 12.5 MB, 2.0 GB."""
    for unit, bytes_of_unit in (("GB", 1024 * MEGABYTE), ("MB", MEGABYTE)):
        if size >= bytes_of_unit:
            return f"{size / bytes_of_unit:.1f} {unit}"
    return f"{max(1, round(size / 1024))} kB"
