"""Every table, imported once, so that the metadata is whole."""

from assetlib.catalogue.base import Base
from assetlib.catalogue.derived import Derived, FingerprintRow, PairDecision, PairFinding, Recipe, VectorRow
from assetlib.catalogue.entries import (
    Arrival,
    BlemishChoice,
    Code,
    Cut,
    CutOrder,
    Descent,
    Entry,
    OpeningChoice,
    Original,
    Piece,
    Version,
)
from assetlib.catalogue.identity import Identity, Removal
from assetlib.catalogue.log import Change, Step
from assetlib.catalogue.trade import (
    Bundle,
    BundleItem,
    Certificate,
    Collection,
    CollectionItem,
    OriginAnswer,
    Release,
)
from assetlib.catalogue.words import (
    Concept,
    Facet,
    Label,
    MirrorGuard,
    Relation,
    StylePeriod,
    Suggestion,
    Tag,
)
from assetlib.catalogue.work import (
    FrameFile,
    Job,
    JobAgreement,
    JobInUse,
    JobReference,
    JobRemoval,
    JobShot,
    ShotPick,
    Use,
)

__all__ = [
    "Arrival", "Base", "BlemishChoice", "Bundle", "BundleItem", "Certificate", "Change", "Code", "Collection",
    "CollectionItem", "Concept", "Cut", "CutOrder", "Derived", "Descent", "Entry", "Facet", "FingerprintRow",
    "FrameFile", "Identity", "Job", "JobAgreement", "JobInUse", "JobReference", "JobRemoval", "JobShot",
    "Label", "MirrorGuard", "OpeningChoice", "OriginAnswer", "Original", "PairDecision", "PairFinding", "Piece",
    "Recipe", "Relation", "Release", "Removal", "ShotPick", "Step", "StylePeriod", "Suggestion", "Tag", "Use",
    "VectorRow", "Version",
]  # fmt: skip
