from typing import Any

from django import forms
from django.http import QueryDict

from workshop.staff.models import Person, RoleKind


class SignInForm(forms.Form):
    login = forms.CharField(
        label="sign-in name", max_length=60, widget=forms.TextInput(attrs={"autocomplete": "username"})
    )
    password = forms.CharField(
        max_length=200, strip=False, widget=forms.PasswordInput(attrs={"autocomplete": "current-password"})
    )


class PersonForm(forms.Form):
    """A person's entry, roles and secrets. A new person needs a password; empty secrets are left as they are."""

    name = forms.CharField(max_length=200)
    initials = forms.CharField(max_length=4, help_text="Up to four letters, as they stand beside a tick.")
    login = forms.CharField(label="sign-in name", max_length=60, widget=forms.TextInput(attrs={"autocomplete": "off"}))
    roles = forms.MultipleChoiceField(choices=RoleKind.choices, widget=forms.CheckboxSelectMultiple, required=False)
    may_prescribe = forms.BooleanField(label="may prescribe", required=False)
    password = forms.CharField(
        max_length=200,
        strip=False,
        required=False,
        help_text="At least 10 characters.",
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )
    pin = forms.CharField(
        label="PIN for bench terminals",
        required=False,
        max_length=6,
        help_text="4 to 6 digits. It opens the maker's part alone, and only at a registered terminal.",
        widget=forms.PasswordInput(attrs={"autocomplete": "off", "inputmode": "numeric"}),
    )
    remove_pin = forms.BooleanField(label="take the PIN away", required=False)
    seen_version = forms.IntegerField(required=False, widget=forms.HiddenInput)

    ENTRY = ("login", "name", "initials", "roles", "may_prescribe")

    def __init__(self, data: QueryDict | None, *, person: Person | None = None) -> None:
        super().__init__(data, initial=_entry(person) if person else None)
        if person is None:
            self.fields["password"].required = True
            del self.fields["remove_pin"], self.fields["seen_version"]
            return
        self.fields["seen_version"].required = True
        self.fields["password"].label = "new password"
        self.fields["password"].help_text = "Leave it empty to keep the password. A new one signs them out everywhere."
        if not hasattr(person, "pin"):
            del self.fields["remove_pin"]
        else:
            self.fields["pin"].label = "new PIN for bench terminals"

    @property
    def entry(self) -> dict[str, Any]:
        """What was filled in, without the secrets."""
        return {name: self.cleaned_data[name] for name in self.ENTRY}

    def beside(self, current: Person) -> list[tuple[str, str, str]]:
        """What somebody else saved beside what was filled in here, where they differ; never a secret."""
        theirs, yours = _entry(current), self.entry
        return [
            (str(self[name].label), _in_words(theirs[name]), _in_words(yours[name]))
            for name in self.ENTRY
            if theirs[name] != yours[name]
        ]


def _entry(person: Person) -> dict[str, Any]:
    return {
        "login": person.login,
        "name": person.name,
        "initials": person.initials,
        "roles": [kind for kind in RoleKind.values if kind in person.role_kinds],
        "may_prescribe": person.may_prescribe,
        "seen_version": person.version,
    }


def _in_words(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return ", ".join(RoleKind(kind).label for kind in value)
    return str(value)
