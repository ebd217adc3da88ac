"""A BHA sheet that somebody typed, sent to be read."""

from django import forms
from django.core.files.uploadedfile import UploadedFile

#: A sheet has a few hundred rows.
MOST_BYTES = 20 * 2**20


class TypedBhaForm(forms.Form):
    file = forms.FileField(label="BHA sheet", help_text="CSV or XLSX. It is read and not kept.")

    def clean_file(self) -> UploadedFile:
        file: UploadedFile = self.cleaned_data["file"]
        if (file.size or 0) > MOST_BYTES:
            raise forms.ValidationError("The file is larger than 20 MB; a BHA sheet is not.")
        return file
