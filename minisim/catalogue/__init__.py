"""The catalogue of boards, backplanes, supplies and the rest, with the evidence behind every figure."""

from minisim.catalogue.reader import Catalogue, NotInCatalogueError

__all__ = ["Catalogue", "NotInCatalogueError"]
