"""A drawing is black on nothing and turns white where the page is dark: by system and by choice."""

from typing import Any

import pytest

from tests import rig as rigs
from tests.browser.walk import sign_in

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

#: The mean of what is neither ground nor nearly so: the ink of the picture, 0 black to 255 white.
INK = """async (image) => {
  await image.decode();
  const canvas = document.createElement("canvas");
  canvas.width = image.naturalWidth; canvas.height = image.naturalHeight;
  const pen = canvas.getContext("2d");
  pen.filter = getComputedStyle(image).filter;
  pen.drawImage(image, 0, 0);
  const dots = pen.getImageData(0, 0, canvas.width, canvas.height).data;
  let sum = 0, seen = 0;
  for (let at = 0; at < dots.length; at += 4) if (dots[at + 3] > 200) { sum += dots[at]; seen += 1; }
  return seen > 50 ? sum / seen : -1;
}"""


@pytest.mark.parametrize("scheme, theme, dark", [
    ("light", "", False), ("dark", "", True), ("light", "dark", True), ("dark", "light", False),
])  # fmt: skip
def test_a_drawing_can_be_read_by_day_and_by_night(
    page: Any, live_server: Any, scheme: str, theme: str, dark: bool
) -> None:
    rig = rigs.build()
    sign_in(page.context, rig, live_server.url)
    page.emulate_media(color_scheme=scheme)
    page.goto(f"/piece/{rig.jar.tag}/")
    if theme:
        page.evaluate("(theme) => { document.documentElement.dataset.theme = theme; }", theme)
    ink = page.eval_on_selector("img.drawing", INK)
    assert ink > 200 if dark else 0 <= ink < 55


def test_a_drawing_is_black_on_paper_even_at_night(page: Any, live_server: Any) -> None:
    rig = rigs.build()
    sign_in(page.context, rig, live_server.url)
    page.emulate_media(color_scheme="dark", media="print")
    page.goto(f"/piece/{rig.jar.tag}/")
    assert 0 <= page.eval_on_selector("img.drawing", INK) < 55
