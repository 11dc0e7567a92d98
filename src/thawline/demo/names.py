"""
Invented names: a plant's name and a craft-like surname that nobody is known to bear.

Every number of the district has a name of its own; the seed only shuffles them.
"""

from dataclasses import dataclass

from thawline.demo.district import dice

_GIVEN = (
    *("Bryony", "Sorrel", "Hazel", "Rowan", "Linnea", "Tansy", "Clover", "Fern", "Juniper"),
    *("Laurel", "Marigold", "Myrtle", "Olive", "Poppy", "Sage", "Senna", "Teasel", "Violet"),
    *("Yarrow", "Aster", "Basil", "Briar", "Cedar", "Cicely", "Dahlia", "Elder", "Florian"),
    *("Heath", "Holly", "Iris", "Ivy", "Jasmine", "Lily", "Linden", "Mallow", "Maple"),
    *("Oleander", "Perilla", "Petunia", "Primrose", "Quince", "Robinia", "Rue", "Saffron"),
    *("Sedge", "Thyme", "Valerian", "Vetch", "Willow", "Woodruff", "Zinnia"),
    *("Azucena", "Jacinto", "Hortensia", "Narciso", "Azahar", "Amapola", "Verbena", "Retama"),
    *("Jazmín", "Begonia", "Acacia", "Salvia", "Hinojo", "Caléndula"),
)
_CRAFT = (
    *("Test", "Kettle", "Rain", "Loom", "Thatch", "Barrel", "Candle", "Copper", "Felt"),
    *("Lantern", "Needle", "Anvil", "Basket", "Button", "Saddle", "Bobbin", "Spindle"),
    *("Tinder", "Wicker", "Chalk", "Flint", "Thimble", "Bellows", "Pewter"),
)
_LAND = (
    *("wick", "moor", "stead", "mere", "garth", "holt", "beck", "fold", "rigg", "thwaite"),
    *("barrow", "slade", "dyke"),
)
_SURNAMES = len(_CRAFT) * len(_LAND)
_NAMES = len(_GIVEN) * _SURNAMES
_STEP = 7_919  # a prime that shares no divisor with the count, so the order meets every name


@dataclass(frozen=True, slots=True)
class Called:
    """A given name and a surname."""

    given: str
    family: str

    @property
    def whole(self) -> str:
        """Return the name as it is called out."""
        return f"{self.given} {self.family}"


def name_of(number: int, seed: int) -> Called:
    """Return the name of a number of the district; two numbers never share one."""
    first = dice(seed, "names").randrange(_NAMES)
    given, family = divmod((first + number * _STEP) % _NAMES, _SURNAMES)
    craft, land = divmod(family, len(_LAND))
    return Called(_GIVEN[given], f"{_CRAFT[craft]}{_LAND[land]}")
