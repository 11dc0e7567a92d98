"""
The names that booking files give their columns, in English and Spanish, as data.

Names are compared in small letters, without accents, with one space for anything else, so
"Fecha_de_Nacimiento" is "fecha de nacimiento". Common practice: headers met in exports of
registration lists; add a line here to have one more understood.
"""

from enum import StrEnum


class Field(StrEnum):
    """What a column of a booking file can be; the values are the words of `--column`."""

    PERSON = "id"
    NAME = "name"
    GIVEN = "given"
    FAMILY = "family"
    BORN = "born"
    PHONE = "phone"
    MAIL = "mail"
    LANGUAGE = "language"
    SLOT = "slot"
    DATE = "date"
    TIME = "time"
    DOSE = "dose"
    GROUP = "group"
    NEEDS = "needs"


NAMES: dict[Field, tuple[str, ...]] = {
    Field.PERSON: (
        *("id", "person id", "person", "code", "person code", "patient id", "client id"),
        *("codigo", "id persona", "codigo de persona", "id paciente", "identificador"),
    ),
    Field.NAME: (
        *("name", "full name", "patient", "patient name", "person name", "client", "who"),
        *("nombre", "nombre completo", "nombre y apellidos", "apellidos y nombre", "paciente"),
    ),
    Field.GIVEN: (
        *("given name", "given", "first name", "firstname", "forename", "given names"),
        *("nombres", "nombre de pila", "primer nombre"),
    ),
    Field.FAMILY: (
        *("family name", "family", "last name", "lastname", "surname", "surnames"),
        *("apellido", "apellidos", "primer apellido"),
    ),
    Field.BORN: (
        *("born", "date of birth", "birth date", "birthdate", "dob", "birthday", "birth"),
        *("fecha de nacimiento", "nacimiento", "f nacimiento", "fecha nacimiento", "nacido"),
        *("fec nac", "f nac", "fecha nac"),
    ),
    Field.PHONE: (
        *(
            "phone",
            "phone number",
            "telephone",
            "mobile",
            "cell",
            "cell phone",
            "tel",
            "contact",
        ),
        *("telefono", "movil", "celular", "telefono movil", "numero de telefono", "tfno"),
    ),
    Field.MAIL: (
        *("mail", "email", "e mail", "email address", "e mail address"),
        *("correo", "correo electronico", "direccion de correo"),
    ),
    Field.LANGUAGE: (
        *("language", "preferred language", "lang", "speaks"),
        *("idioma", "lengua", "idioma preferido"),
    ),
    Field.SLOT: (
        *("slot", "appointment", "date time", "datetime", "date and time", "start", "starts"),
        *("start time", "appointment date and time", "booked for", "when"),
        *("cita", "fecha y hora", "fecha hora", "inicio", "fecha y hora de la cita", "turno"),
    ),
    Field.DATE: (
        *(
            "date",
            "day",
            "appointment date",
            "booking date",
            "visit date",
            "date of appointment",
        ),
        *("fecha", "dia", "fecha de la cita", "fecha de cita", "fecha cita", "dia de la cita"),
    ),
    Field.TIME: (
        *("time", "appointment time", "hour", "at", "slot time", "time of appointment"),
        *("hora", "hora de la cita", "hora de cita", "hora cita"),
    ),
    Field.DOSE: (
        *("dose", "dose number", "dose no", "which dose", "dose nr", "first or second"),
        *("dosis", "numero de dosis", "n dosis", "n de dosis", "no dosis"),
    ),
    Field.GROUP: (
        *("group", "priority group", "category", "cohort", "eligibility"),
        *("grupo", "grupo prioritario", "categoria", "colectivo"),
    ),
    Field.NEEDS: (
        *("needs", "help", "help needed", "assistance", "special needs", "support"),
        *("necesidades", "ayuda", "necesita ayuda", "asistencia", "apoyo"),
    ),
}
"""Under which names a column is known without being asked about."""

DOSE_WORDS: dict[str, int] = {
    **dict.fromkeys(("1", "1st", "first", "d1", "dose 1", "first dose", "1st dose"), 1),
    **dict.fromkeys(("one", "primera", "1a", "primera dosis", "dosis 1", "1a dosis"), 1),
    **dict.fromkeys(("2", "2nd", "second", "d2", "dose 2", "second dose", "2nd dose"), 2),
    **dict.fromkeys(("two", "segunda", "2a", "segunda dosis", "dosis 2", "2a dosis"), 2),
}

LANGUAGE_WORDS: dict[str, str] = {
    **dict.fromkeys(("en", "eng", "english", "ingles"), "en"),
    **dict.fromkeys(("es", "spa", "spanish", "espanol", "castellano"), "es"),
}

NEEDS_WORDS: dict[str, str] = {
    **dict.fromkeys(("wheelchair", "wheel chair", "silla de ruedas"), "wheelchair"),
    **dict.fromkeys(("sight", "low vision", "blind", "vista", "ciego", "ciega"), "sight"),
    **dict.fromkeys(
        ("hearing", "deaf", "hard of hearing", "oido", "sordo", "sorda"), "hearing"
    ),
    **dict.fromkeys(("language", "interpreter", "idioma", "interprete"), "language"),
    **dict.fromkeys(("lying down", "lie down", "lying", "tumbado", "tumbada"), "lying-down"),
}
"""The kinds of help the site prepares; other words are recorded as "other", never as typed."""

NO_WORDS = frozenset(("", "-", "no", "none", "ninguna", "ninguno", "n a", "na", "nan", "null"))
"""What stands in a cell that means nothing."""
