"""The bring-up on paper: one page a stage, from the supply alone to the whole machine, and the test record."""

from minisim.sheet.bringup.pages import bring_up_pages
from minisim.sheet.bringup.record import test_record

__all__ = ["bring_up_pages", "test_record"]
