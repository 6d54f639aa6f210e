"""Make the lists and Table Schemas that this project keeps, from the published standards.

    CROSSPROOF_STANDARDS=…/standards python schemas/make.py

Reads the Darwin Core list of terms (TDWG, CC BY 4.0), and the table schemas and profile of the
Darwin Core Data Package (gbif/dwc-dp, CC0 1.0). Writes

* `src/crossproof/darwincore/terms.json`: the current terms;
* `src/crossproof/darwincore/conform/package.json`: reserved names, fields and keys of the package;
* `schemas/dwc-dp/*.json`: Table Schemas of the package's tables, the fields this project writes;
* `schemas/dwca/*.json`: Table Schemas of the archive's tables;
* the lists of fields in `docs/reference/outputs.md`, from those schemas.

Descriptions are this project's own and come from `schemas/descriptions.toml`.
"""

from __future__ import annotations

import csv
import json
import os
import re
import tomllib
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
PAGE = ROOT / "docs/reference/outputs.md"
TEXTS = tomllib.loads((ROOT / "schemas/descriptions.toml").read_text(encoding="utf-8"))
DWC = "http://rs.tdwg.org/dwc/terms/"

ELEMENTS = TEXTS["lists"]["elements"].split()
PROPERTIES = TEXTS["lists"]["properties"].split()
AUDIOVISUAL = TEXTS["lists"]["audiovisual"].split()

# What a row of the archive's core may carry as submitted: properties of these classes.
CORE_CLASSES = (
    "",
    "Occurrence",
    "Organism",
    "MaterialEntity",
    "MaterialSample",
    "Event",
    "Location",
    "GeologicalContext",
    "Identification",
    "Taxon",
)
# Not a property of one record's own, or written by this project itself.
NOT_IN_CORE = {
    "agentRoleOrder",
    "dynamicProperties",
    "isAcceptedIdentification",
    "identificationID",
}

PACKAGE_FIELDS: dict[str, str] = {
    "event": "*",
    "occurrence": "*",
    "identification": "*",
    "identification-taxon": "identification_fk taxonSortOrder scientificName "
    "scientificNameAuthorship taxonRank",
    "media": "media_pk mediaID mediaType createDate providerManagedID accessURI comments "
    "subjectPartLiteral subjectPartIRI provenance_fk usagePolicy_fk",
    "occurrence-media": "media_fk occurrence_fk subjectPartLiteral subjectPart",
    "occurrence-assertion": "assertionID occurrence_fk assertionType assertionValue "
    "assertionProtocols assertionRemarks",
    "provenance": "provenance_pk creator",
    "usage-policy": "usagePolicy_pk license",
}
# Keys to tables that this project does not write, fields for things that are not plants, and the
# keys' by-id twins that point to agents' identifiers.
NEVER = {
    "parentEvent_fk", "eventProtocol_fk", "provenance_fk", "georeferenceProtocol_fk",
    "isPartOfOccurrence_fk", "occurrenceProtocol_fk", "surveyTarget_fk",
    "identificationProtocol_fk", "materialEntity_fk", "media_fk", "nucleotideAnalysis_fk",
    "nucleotideSequence_fk", "organism_fk", "geoClassificationCode", "geoName",
    "typeDesignationType", "externalClassificationSource",
}  # fmt: skip

ARCHIVE_FIELDS: dict[str, list[tuple[str, str]]] = {
    "identification": [(name, DWC + name) for name in TEXTS["lists"]["identification"].split()],
    "measurementorfact": [
        (name, DWC + name) for name in TEXTS["lists"]["measurementorfact"].split()
    ],
    "multimedia": [
        ("identifier", "http://purl.org/dc/terms/identifier"),
        ("type", "http://purl.org/dc/elements/1.1/type"),
        ("accessURI", "http://rs.tdwg.org/ac/terms/accessURI"),
        ("providerManagedID", "http://rs.tdwg.org/ac/terms/providerManagedID"),
        ("comments", "http://rs.tdwg.org/ac/terms/comments"),
        ("created", "http://purl.org/dc/terms/created"),
        ("creator", "http://purl.org/dc/elements/1.1/creator"),
        ("rights", "http://purl.org/dc/elements/1.1/rights"),
        ("subjectPart", "http://rs.tdwg.org/ac/terms/subjectPart"),
        ("subjectPartLiteral", "http://rs.tdwg.org/ac/terms/subjectPartLiteral"),
    ],
}
NUMBERS = {
    "decimalLatitude": {"minimum": -90, "maximum": 90},
    "decimalLongitude": {"minimum": -180, "maximum": 180},
    "coordinateUncertaintyInMeters": {"minimum": 1, "maximum": 20037509},
}


def write(path: Path, value: object) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    text = json.dumps(value, ensure_ascii=False, indent=2, sort_keys=False)
    path.write_text(text + "\n", encoding="utf-8")


def standards() -> Path:
    return Path(os.environ["CROSSPROOF_STANDARDS"])


def terms() -> dict[str, dict[str, str]]:
    found = {}
    with (standards() / "dwc/terms.csv").open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            name = row["term"].split(":")[1]
            owner = row["organized_in"].rsplit("/", 1)[-1]
            found[row["term"]] = {
                "iri": row["iri"],
                "issued": row["issued"],
                "class": owner,
                "version": row["version_iri"],
                "kind": "class" if name[0].isupper() else "property",
            }
    return found


def make_terms(found: dict[str, dict[str, str]]) -> None:
    subject_parts = {}
    with (standards() / "ac/subject_part.csv").open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            subject_parts[row["controlled_value_string"]] = row["term_localName"]
    write(
        ROOT / "src/crossproof/darwincore/terms.json",
        {
            "source": "Darwin Core list of terms, versions of status 'recommended', 2026-05-26, "
            "and Audiovisual Core list of terms and controlled vocabulary for subjectPart, "
            "2026-02-24, by Biodiversity Information Standards (TDWG), CC BY 4.0, reduced to "
            "names and IRIs; DCMI Metadata Terms, 2020-01-20, CC BY 4.0, names only. Made by "
            "schemas/make.py.",
            "darwin_core": {
                name.split(":")[1]: {k: term[k] for k in ("iri", "class", "issued", "kind")}
                for name, term in found.items()
            },
            "dublin_core_elements": ELEMENTS,
            "dublin_core_terms": PROPERTIES,
            "audiovisual_core": AUDIOVISUAL,
            "subject_parts": subject_parts,
        },
    )


def make_package(found: dict[str, dict[str, str]]) -> None:
    folder = standards() / "dwc-dp"
    version = json.loads((folder / "version.json").read_text(encoding="utf-8"))["version"]
    profile = json.loads((folder / "dwc-dp-profile.json").read_text(encoding="utf-8"))
    versions = {term["version"] for term in found.values()}
    tables = {}
    for path in sorted((folder / "table-schemas").glob("*.json")):
        official = json.loads(path.read_text(encoding="utf-8"))
        tables[path.stem] = {
            "primaryKey": official.get("primaryKey", ""),
            "foreignKeys": [
                {key: k[key] for key in ("fields", "predicate", "reference")}
                for k in official.get("foreignKeys", [])
            ],
            "fields": {
                field["name"]: {
                    "type": field["type"],
                    "constraints": field.get("constraints", {}),
                    "dcterms:isVersionOf": field["dcterms:isVersionOf"],
                }
                for field in official["fields"]
            },
        }
        if path.stem in PACKAGE_FIELDS:
            write(ROOT / f"schemas/dwc-dp/{path.stem}.json", own(path.stem, official, versions))
    write(
        ROOT / "src/crossproof/darwincore/conform/package.json",
        {
            "source": f"Darwin Core Data Package profile and table schemas, version {version} "
            "(2026-06-26), gbif/dwc-dp, CC0 1.0, reduced to names, types, constraints and keys. "
            "Made by schemas/make.py.",
            "version": version,
            "reserved": profile["$defs"]["dwc-dp-resource-names"]["enum"],
            "tables": tables,
        },
    )


def own(table: str, official: dict, versions: set[str]) -> dict:
    wanted = PACKAGE_FIELDS[table]
    fields = []
    for field in official["fields"]:
        name = field["name"]
        if name not in wanted.split() if wanted != "*" else name in NEVER:
            continue
        made = {
            "name": name,
            "title": field["title"],
            "description": describe(name, table),
            "type": field["type"],
            "format": field["format"],
            "namespace": field["namespace"],
            "dcterms:isVersionOf": field["dcterms:isVersionOf"],
        }
        if field.get("dcterms:references") in versions:
            made["dcterms:references"] = field["dcterms:references"]
        if "constraints" in field:
            made["constraints"] = field["constraints"]
        fields.append(made)
    names = {field["name"] for field in fields}
    return {
        "identifier": official["identifier"],
        "name": official["name"],
        "title": official["title"],
        "description": TEXTS["tables"][table],
        "fields": fields,
        **{key: official[key] for key in ("primaryKey", "weakPrimaryKey") if key in official},
        "foreignKeys": [
            {key: k[key] for key in ("fields", "predicate", "reference")}
            for k in official.get("foreignKeys", [])
            if k["fields"] in names
        ],
    }


def describe(name: str, table: str = "") -> str:
    texts = TEXTS["fields"]
    return texts.get(f"{table}.{name}") or texts.get(name, texts["as given"])


def make_archive(found: dict[str, dict[str, str]]) -> None:
    core = [
        (name.split(":")[1], term["iri"])
        for owner in CORE_CLASSES
        for name, term in found.items()
        if term["kind"] == "property"
        and (term["class"] == owner or (not owner and name.startswith("dcterms:")))
        and name.split(":")[1] not in NOT_IN_CORE
    ]
    core.sort(key=lambda pair: pair[0] != "occurrenceID")
    core.append(("dynamicProperties", DWC + "dynamicProperties"))
    taxon = [
        (name.split(":")[1], term["iri"])
        for name, term in found.items()
        if term["class"] == "Taxon" and term["kind"] == "property"
    ]
    first = ("occurrenceID", DWC + "occurrenceID")
    for table, fields in {"occurrence": core, **ARCHIVE_FIELDS}.items():
        if table != "occurrence":
            fields = [first, *fields]
        if table == "identification":
            fields += [pair for pair in taxon if pair not in fields]
        schema = {
            "name": table,
            "title": TEXTS["titles"][table],
            "description": TEXTS["tables"][f"archive-{table}"],
            "fields": [archive_field(table, name, iri) for name, iri in fields],
        }
        if table == "occurrence":
            schema["primaryKey"] = "occurrenceID"
        else:
            reference = {"resource": "occurrence", "fields": "occurrenceID"}
            schema["foreignKeys"] = [{"fields": "occurrenceID", "reference": reference}]
        write(ROOT / f"schemas/dwca/{table}.json", schema)


def archive_field(table: str, name: str, iri: str) -> dict:
    field: dict[str, object] = {
        "name": name,
        "type": "number" if name in NUMBERS else "string",
        "description": describe(name),
        "dcterms:isVersionOf": iri,
    }
    constraints: dict[str, object] = dict(NUMBERS.get(name, {}))
    required = {"occurrenceID", "identificationID", "measurementID", "measurementType"}
    if name in required | {"basisOfRecord", "occurrenceStatus", "identifier"}:
        constraints["required"] = True
    if (name, table) in {
        ("occurrenceID", "occurrence"),
        ("identificationID", "identification"),
        ("measurementID", "measurementorfact"),
    }:
        constraints["unique"] = True
    if name == "isAcceptedIdentification":
        constraints["enum"] = ["true", "false"]
    if constraints:
        field["constraints"] = constraints
    return field


def fields_in_words(table: str) -> str:
    """A table's fields as a page shows them: those with words of their own, then the rest."""
    schema = json.loads((ROOT / f"schemas/{table}.json").read_text(encoding="utf-8"))
    told, rest = [], []
    for field in schema["fields"]:
        if field["description"] == TEXTS["fields"]["as given"]:
            rest.append(field["name"])
        else:
            told.append(f"| `{field['name']}` | {field['description']} |")
    text = f"{schema['description']}\n\n| field | what it holds |\n| --- | --- |\n" + "\n".join(
        told
    )
    if len(rest) > 60:
        text += (
            f"\n\nAs the submission gives them, where it does: {len(rest)} more terms of what was "
        )
        text += f"recorded, where, when and of which taxon, listed in `schemas/{table}.json`."
    elif rest:
        names = ", ".join(f"`{name}`" for name in rest)
        text += f"\n\nAs the submission gives them, where it does: {names}."
    return text


def page(text: str) -> str:
    """The page with its lists of fields made anew."""
    return re.sub(
        r"(<!-- fields: (\S+) -->\n).*?(<!-- end -->)",
        lambda found: f"{found[1]}{fields_in_words(found[2])}\n{found[3]}",
        text,
        flags=re.DOTALL,
    )


if __name__ == "__main__":
    known = terms()
    make_terms(known)
    make_package(known)
    make_archive(known)
    PAGE.write_text(page(PAGE.read_text(encoding="utf-8")), encoding="utf-8")
