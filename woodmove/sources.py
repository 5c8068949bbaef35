"""The bibliography: source key -> published source, and the words for how a value is known.

A key stands beside every relation, coefficient and constant. What is not in this list is not
published: it is marked ``derived``, ``common practice``, ``memory`` or ``judgement`` where it stands.
"""

from dataclasses import dataclass
from enum import StrEnum


class Status(StrEnum):
    """How a number is known."""

    PUBLISHED = "published"  # read in the source, or in a transcription that names the table
    DERIVED = "derived"  # worked out from published values by a stated formula
    MEMORY = "memory"  # recalled from a named source, not read again
    COMMON_PRACTICE = "common practice"  # a fact of the trade without a source
    JUDGEMENT = "judgement"  # our own choice of a number that nobody has published


@dataclass(frozen=True, slots=True)
class Source:
    """A published source. `key` is what code and answers carry; `citation` is what people read."""

    key: str
    citation: str


_ALL = (
    Source(
        "fpl-gtr-282",
        "Forest Products Laboratory: Wood handbook, General Technical Report FPL-GTR-282 (2021)",
    ),
    Source(
        "fpl-gtr-190",
        "Forest Products Laboratory: Wood handbook, General Technical Report FPL-GTR-190 (2010)",
    ),
    Source(
        "trade-table",
        "Holzhandel (German timber trade): technical pages, Figure 4-5, differential shrinkage of woods",
    ),
    Source(
        "trade-lexicon",
        "GD Holz and Thuenen Institute: wood lexicon, read in copies of the timber trade",
    ),
    Source("parquet-tests", "Bauwerk Parkett: properties of woods, the maker's own tests"),
    Source(
        "encyclopedia",
        "German Wikipedia, read in a copy: articles on woods, which quote handbooks",
    ),
    Source(
        "bengtsson-2001",
        "Bengtsson: swelling of sawn Norway spruce. Ann. For. Sci. 58 (2001): 569, abstract",
    ),
    Source("larch-sheet", "Frey-Amon (sawmill, Austria): data sheet of larch"),
    Source("din-68100", "DIN 68100: tolerances for woodwork, differential shrinkage of woods"),
    Source("sell", "Sell: Eigenschaften und Kenngroessen von Holzarten"),
    Source("holzatlas", "Wagenfuehr: Holzatlas"),
    Source("parquet-sheets", "ParkettMagazin: data sheets of woods"),
    Source("french-timber", "French Timber: data sheet of chestnut"),
    Source(
        "bre-trada",
        "Building Research Establishment: Handbook of Softwoods; TRADA: movement of woods in service",
    ),
    Source("bootle", "Bootle: Wood in Australia"),
    Source("queensland", "Queensland Government: properties of timbers, pages by species"),
    Source(
        "australian-forestry-2004",
        "Australian Forestry (2004): properties of regrowth Eucalyptus delegatensis, abstract",
    ),
    Source(
        "wood-tech-japan",
        "Wood Technological Association of Japan (Kansai): pages on Japanese woods, mean shrinkage, air-dry "
        "specific gravity",
    ),
    Source("ffpri", "Forestry and Forest Products Research Institute, Japan: table of mean shrinkage"),
    Source("kuiva", "Kuiva (kiln drying, Japan): data page of ezomatsu"),
    Source("japan-trade", "Pages of the Japanese timber trade: air-dry specific gravity of woods"),
    Source("tropix", "CIRAD Tropix: sheets of tropical woods, as pages of the timber trade give them"),
    Source("kollmann", "Trendelenburg; Kollmann: fibre saturation by groups of woods"),
    Source(
        "simpson-1973",
        "Simpson, W.T.: Predicting equilibrium moisture content of wood by mathematical models. "
        "Wood and Fiber 5 (1973)",
    ),
    Source(
        "skaar-siau",
        "Skaar: Wood-Water Relations (1988); Siau: Wood, Influence of Moisture (1995): sorption hysteresis",
    ),
    Source(
        "maas-wittel-2026",
        "Maas & Wittel (2026): From Elasticity to Creep, orthotropic rheology of Norway spruce, data set",
    ),
    Source("wengert-storage", "Wengert, WOODWEB knowledge base: moisture of stored lumber"),
    Source("siau-transport", "Siau: Transport Processes in Wood (1984)"),
    Source(
        "nordic-creep",
        "Toratti (1992) and Hanhijarvi (1995), Nordic timber-creep literature: diffusion in spruce and pine",
    ),
    Source(
        "sonderegger-2011",
        "Sonderegger et al.: Diffusion in spruce and beech by the cup method. Holzforschung (2011)",
    ),
    Source(
        "carlson-2007",
        "Carlson et al.: moisture of pine dowels outdoors. Int. J. Wildland Fire 16 (2007): 204",
    ),
    Source("crank-1956", "Crank: The Mathematics of Diffusion (1956), with Newman (1931)"),
    Source(
        "hyland-wexler",
        "Hyland & Wexler (1983), as in the ASHRAE Handbook of Fundamentals: saturation pressure",
    ),
    Source("ashrae-fundamentals", "ASHRAE Handbook of Fundamentals, chapter Psychrometrics"),
    Source("ashrae-55-1992", "ASHRAE Standard 55-1992: humidity for comfort, 30 to 60 % RH"),
    Source("wmo-8", "WMO No. 8, Guide to Instruments and Methods of Observation: humidity"),
    Source(
        "tampere-trh",
        "Tampere University: TRH database, temperature and humidity of houses in Finland (2010-2012)",
    ),
    Source("iso-13788", "EN ISO 13788: internal humidity classes"),
    Source(
        "noaa-ccd-2018",
        "NOAA Comparative Climatic Data (CCD-2018): normal temperature 1981-2010, morning and afternoon RH",
    ),
    Source(
        "wmo-normals",
        "WMO Climatological Standard Normals 1991-2020, NOAA NCEI Accession 0253808 (doi 10.25921/800j-vn07)",
    ),
    Source(
        "nrel-tmy3",
        "National Renewable Energy Laboratory: typical meteorological year, TMY3 files (1991-2005)",
    ),
    Source(
        "nrel-tmy2",
        "National Renewable Energy Laboratory: typical meteorological year, TMY2 files (1961-1990)",
    ),
    Source("epw", "A weather file in EPW form; its first lines name its maker"),
    Source("own-log", "A logger of your own"),
    Source("own-place", "A place of your own"),
    Source(
        "fpl-gtr-6", "James: Electric moisture meters for wood, General Technical Report FPL-GTR-6 (1988)"
    ),
    Source(
        "astm-d4442", "ASTM D4442: direct moisture content measurement of wood, with ASTM D7438 on meters"
    ),
    Source("ps-20", "American Softwood Lumber Standard PS 20: dressed sizes"),
    Source("asme-b18.6.1", "ASME B18.6.1: wood screws"),
    Source("asme-b18.6.3", "ASME B18.6.3: screw heads and clearance series"),
    Source("asme-b18.21.1", "ASME B18.21.1: washers"),
    Source("nds-appendix-l", "National Design Specification for Wood Construction, Appendix L: screw roots"),
    Source("iso-273", "ISO 273: clearance holes for bolts and screws"),
    Source("asme-b18.2.1", "ASME B18.2.1: hex lag screws"),
    Source("din-7998", "DIN 96, 97, 7996, 7997 with DIN 7998: wood screws"),
    Source("din-571", "DIN 571: hexagon head wood screws"),
    Source("iso-1478", "ISO 1478 with ISO 7049: tapping screws"),
    Source("iso-7089", "ISO 7089: plain washers, normal series"),
    Source("iso-7093", "ISO 7093-1: plain washers, large series"),
    Source("iso-7094", "ISO 7094: plain washers, extra large series"),
    Source(
        "nds-c12.1.5.7",
        "National Design Specification for Wood Construction, Commentary Table C12.1.5.7: "
        "wood screw edge, end and spacing distances",
    ),
    Source(
        "stevens-johnston-1960",
        "Stevens & Johnston (1960): ring-curvature model of twist, as later abstracts describe it",
    ),
    Source(
        "ekevad-2005",
        "Ekevad: Twist of wood studs: dependence on spiral grain gradient. J. Wood Sci. 51 (2005): 455-461, "
        "abstract",
    ),
    Source(
        "backstrom-johansson-2006",
        "Backstrom & Johansson: Analytical model of twist in Norway spruce timber. "
        "Scandinavian J. Forest Research 21 (2006): 54-62, abstract",
    ),
    Source(
        "straze-2011",
        "Straze, Kliger, Johansson & Gorisek. Eur. J. Wood Wood Prod. 69 (2011): 239-246, abstract: "
        "twist of unrestrained spruce planks",
    ),
    Source(
        "spruce-studs",
        "Distortion of Norway spruce timber, abstracts: severe twist only within 75 mm of the pith",
    ),
    Source(
        "spruce-sticks",
        "Wood and Fiber Science, abstract: bow and crook of Norway spruce studs from lengthwise shrinkage of "
        "3,600 sticks",
    ),
    Source("balodis-1972", "Balodis: CSIRO Forest Products Technical Paper 63 (1972), abstract: cup"),
    Source("stud-grade", "Warp of Stud grade lumber: WWPA (1998) and SPIB (1994), quoted in two papers"),
    Source("fpl-r1093", "Forest Products Laboratory: Longitudinal shrinkage of wood, Report 1093 (1960)"),
    Source("prong-test", "FDMC Magazine: checking casehardening; prong test basics"),
    Source(
        "niosh-94-110",
        "Waters, Putz-Anderson & Garg: Applications manual for the revised NIOSH lifting equation, "
        "DHHS (NIOSH) Publication 94-110",
    ),
    Source(
        "woodweb-joints", "WOODWEB knowledge base: aching glue joints; moisture content and glue failures"
    ),
    Source(
        "wengert-gaps",
        "Wengert, Woodworking Network: gluing and wood density, raised glue joints, gaps that adhesives fill",
    ),
    Source(
        "clamp-pressure",
        "WOOD Magazine: clamping pressure, quoting a maker of adhesives; clamp forces as measured by "
        "woodworkers in a forum",
    ),
    Source("8-ccr-4296", "California Code of Regulations, title 8, section 4296: ripsaws"),
    Source("29-cfr-1910.213", "Code of Federal Regulations, 29 CFR 1910.213: woodworking machinery"),
    Source(
        "wood-screw-pilots",
        "National Design Specification for Wood Construction and Wood handbook chapter 8: lead holes of "
        "70 % of the root diameter, 90 % from specific gravity 0.6 up",
    ),
)

SOURCES: dict[str, Source] = {source.key: source for source in _ALL}


def citation(source: str) -> str:
    """What to print for a source: the citation of a known key, or the plugin's own words as they are."""
    known = SOURCES.get(source)
    return known.citation if known else source
