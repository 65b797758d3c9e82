"""Labels for boards, places, cable ends and boxes, at their true size, with a code that holds the text itself.

`content` says what stands on each, `media` how large labels are, `drawing` draws them, `forms` makes HTML and PDF.
"""

from minisim.sheet.labels.content import Label, labels_of
from minisim.sheet.labels.drawing import label_pages
from minisim.sheet.labels.forms import labels_html, labels_pdf
from minisim.sheet.labels.media import MEDIA

__all__ = ["MEDIA", "Label", "label_pages", "labels_html", "labels_of", "labels_pdf"]
