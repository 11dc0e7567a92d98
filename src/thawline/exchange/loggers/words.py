"""
The words that logger files use, in English and Spanish, as data.

Common practice: words met in headers and cells of logger exports, none of them one maker's.
Names are compared in small letters, without accents and signs; add a word here to have one more
understood. What a word is not known for is reported as not read, never guessed.
"""

from enum import StrEnum


class Role(StrEnum):
    """What a column of numbers can be."""

    TEMPERATURE = "temperature"
    UNKNOWN = "unknown"
    EXTREME = "extreme"  # the highest, lowest or mean of something, beside the readings
    INDEX = "index"
    OTHER = "other"


OTHER_WORDS = frozenset(
    (
        *("humidity", "rh", "humedad", "hr", "dew", "dewpoint", "rocio", "pressure", "hpa"),
        *("battery", "bateria", "volt", "volts", "voltage", "v", "mv", "light", "lux", "luz"),
        *(
            "door",
            "puerta",
            "co2",
            "signal",
            "rssi",
            "dbm",
            "alarm",
            "alarms",
            "alarma",
            "alert",
        ),
        *("limit", "limits", "limite", "setpoint", "set", "target", "consigna", "threshold"),
        *("event", "events", "evento", "mark", "marker", "marca", "flag", "status", "estado"),
        *("comment", "note", "notes", "nota", "mkt", "error", "errors", "uncertainty"),
        *("offset", "correction", "calibration", "power", "minutes", "seconds", "elapsed"),
    )
)
EXTREME_WORDS = frozenset(
    (
        *("min", "minimum", "minimo", "minima", "max", "maximum", "maximo", "maxima"),
        *("avg", "average", "mean", "media", "promedio", "high", "low", "highest", "lowest"),
    )
)
TEMPERATURE_WORDS = frozenset(
    (
        *("temp", "temps", "temperature", "temperatures", "temperatura", "temperaturas"),
        *("tempc", "tempf", "t", "degc", "degf", "celsius", "fahrenheit"),
    )
)
INDEX_WORDS = frozenset(
    (
        *("no", "nr", "n", "num", "number", "numero", "id", "index", "indice", "record"),
        *("records", "registro", "row", "fila", "sample", "muestra", "seq", "sequence"),
        *("point", "entry", "count", "line"),
    )
)
PROBE_NAME_WORDS = frozenset(
    (
        *("probe", "probe name", "probe id", "sensor", "sensor name", "sensor id", "channel"),
        *("channel name", "logger", "logger name", "device", "device name", "unit name"),
        *("location", "place", "sonda", "canal", "dispositivo", "ubicacion", "lugar"),
    )
)
"""Columns whose cells name the probe that the row is about."""

TIME_WORDS = frozenset(
    (
        *("time", "date", "datetime", "timestamp", "fecha", "hora", "when", "day", "local"),
        *("utc", "gmt", "clock", "reading", "read", "at", "dia", "momento"),
    )
)

NO_VALUE = frozenset(
    (
        *("", "nan", "na", "n a", "none", "null", "err", "error", "fault", "fail", "open"),
        *("short", "no data", "no reading", "no sensor", "missing", "sin dato", "sin datos"),
        *("over", "under", "ovl", "ol", "inf"),
    )
)
"""What stands, folded, where a temperature should and means that there is none."""

SUMMARY_WORDS = frozenset(
    (
        *EXTREME_WORDS,
        *("summary", "statistics", "resumen", "estadisticas", "total", "readings", "mkt"),
        *("end", "fin", "std", "deviation", "lecturas", "alarms", "alarmas"),
    )
)
"""Words that begin the lines after a table which sum it up."""
