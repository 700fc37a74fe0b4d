"""Choosing a file of lasts."""

from datetime import date
from typing import Any

from django import forms

from cases.lasts import rack_files
from cases.lasts.rack_files import BadFile, read_rack_file
from shared.uploads import came_whole


class RackFileForm(forms.Form):
    """A file of lasts that can be read, whatever its lines are like. `content` stands after `is_valid`."""

    file = forms.FileField(
        label="file of lasts, CSV",
        widget=forms.FileInput(attrs={"accept": ".csv,text/csv"}),
        error_messages={"required": "Choose a file first.", "empty": "This file is empty."},
    )

    content = b""

    def __init__(self, *args: Any, today: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today = today

    def clean_file(self) -> Any:
        file = self.cleaned_data["file"]
        if file.size > rack_files.MOST_BYTES or not came_whole(file):
            raise forms.ValidationError(
                f"This file is larger than {rack_files.MOST_BYTES // 1024 // 1024} MB. Part it."
            )
        self.content = file.read()
        try:
            read_rack_file(self.content, today=self.today)
        except BadFile as error:
            raise forms.ValidationError(str(error)) from error
        return file
