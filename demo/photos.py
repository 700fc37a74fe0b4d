"""Invented photos: drawn, of no shoe there is."""

from io import BytesIO

from PIL import Image, ImageDraw

from shared.photos import kept_photo

SIZE = (1200, 800)
BENCH, LEATHER, STIFFENER, SCALE = "#6d5a45", "#caa472", "#8a5f35", "#f4f1ea"
LENGTH_PX, MM_TO_PX = 640, 2


def backs_in_position() -> bytes:
    """Both shoes from above, LEFT at left, the stiffeners in, a scale of 300 mm in view."""
    picture = Image.new("RGB", SIZE, BENCH)
    draw = ImageDraw.Draw(picture)
    for middle, word in ((400, "LEFT"), (800, "RIGHT")):
        draw.ellipse((middle - 120, 60, middle + 120, 60 + LENGTH_PX), fill=LEATHER)
        draw.arc((middle - 110, 260, middle + 110, 60 + LENGTH_PX), start=0, end=180, fill=STIFFENER, width=18)
        draw.text((middle - 12, 20), word, fill=SCALE)
    draw.rectangle((300, 740, 300 + 300 * MM_TO_PX, 770), fill=SCALE)
    for mm in range(0, 301, 10):
        draw.line((300 + mm * MM_TO_PX, 740, 300 + mm * MM_TO_PX, 755), fill="black")
    out = BytesIO()
    picture.save(out, "PNG")
    return kept_photo(out.getvalue())
