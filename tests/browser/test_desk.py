"""Does the harness see what it must see? Each check of it is proved with a planted defect."""

from __future__ import annotations

import pytest

from tests.browser.desk import Desk

pytestmark = [pytest.mark.browser, pytest.mark.slow]

BUTTON = """
import ipywidgets
button = ipywidgets.Button(description="Count")
button.on_click(lambda pressed: setattr(pressed, "description", "Counted"))
button
"""
# Two points to focus: one keeps JupyterLab's shortcuts away, the other (the planted defect) does not.
POINTS = '''
import anywidget, traitlets
class Points(anywidget.AnyWidget):
    _esm = """
    export default { render({ model, el }) {
      el.innerHTML = `<svg width="200" height="50" role="group" aria-label="points">
        <circle cx="25" cy="25" r="12" tabindex="0" role="button" aria-label="kept"
                data-lm-suppress-shortcuts="true"/>
        <circle cx="75" cy="25" r="12" tabindex="0" role="button" aria-label="stolen"/>
      </svg><p id="told" aria-live="polite"></p>`;
      const told = el.querySelector('#told');
      model.on('change:told', () => { told.textContent = model.get('told'); });
      for (const point of el.querySelectorAll('circle')) {
        point.addEventListener('keydown', event => {
          model.set('asked', point.getAttribute('aria-label') + ' ' + event.key); model.save_changes(); });
      }
    } };
    """
    asked = traitlets.Unicode("").tag(sync=True)
    told = traitlets.Unicode("").tag(sync=True)
points = Points()
points.observe(lambda change: setattr(points, "told", "heard " + change["new"]), "asked")
points
'''
UNNAMED = """
import ipywidgets
ipywidgets.HTML('<div id="unnamed"><button></button></div>')
"""


def test_a_click_reaches_the_kernel_and_comes_back(desk: Desk) -> None:
    desk.write_notebook("button.ipynb", [BUTTON])
    visit = desk.open("button.ipynb")
    visit.run_all()
    visit.wait_for("button:text-is('Count')").click()
    visit.wait_for("button:text-is('Counted')")


def test_a_key_on_a_point_stays_with_the_widget_where_shortcuts_are_kept_away(desk: Desk) -> None:
    desk.write_notebook("points.ipynb", [POINTS])
    visit = desk.open("points.ipynb")
    visit.run_all()
    visit.wait_for("[aria-label=kept]").press("b")
    visit.wait_for("#told:text-is('heard kept b')")
    assert visit.cell_count() == 1
    visit.wait_for("[aria-label=stolen]").press("b")
    visit.wait_for(".jp-Notebook .jp-Cell >> nth=1")  # JupyterLab took the key and inserted a cell


def test_the_accessibility_checker_passes_named_points_and_finds_an_unnamed_button(desk: Desk) -> None:
    desk.write_notebook("named.ipynb", [POINTS, UNNAMED])
    visit = desk.open("named.ipynb")
    visit.run_all()
    visit.wait_for("[aria-label=kept]")
    visit.wait_for("#unnamed")
    assert visit.accessibility_faults("svg[aria-label=points]") == []
    assert [fault.rule for fault in visit.accessibility_faults("#unnamed")] == ["button-name"]


def test_an_outside_request_and_a_console_error_are_noticed(desk: Desk) -> None:
    desk.write_notebook("plain.ipynb", ["1 + 1"])
    visit = desk.open("plain.ipynb")
    assert visit.outside_requests() == []
    with visit.page.expect_event("requestfailed"):
        visit.page.evaluate("() => { new Image().src = 'http://course.invalid/a.png'; }")
    assert visit.outside_requests() == ["http://course.invalid/a.png"]
    with visit.page.expect_console_message(lambda message: message.text == "planted"):
        visit.page.evaluate("() => console.error('planted')")
    assert any("planted" in error for error in visit.console_errors)
    desk.visits.remove(visit)  # its planted defects are not the desk's
    visit.page.context.close()


def test_a_failing_cell_is_noticed(desk: Desk) -> None:
    desk.write_notebook("fails.ipynb", ["1 / 0", "2"])
    visit = desk.open("fails.ipynb")
    with pytest.raises(AssertionError, match="ZeroDivisionError"):
        visit.run_all()


def test_folded_cells_are_waited_for_at_every_run(desk: Desk) -> None:
    slow = "import pathlib, time; time.sleep(1); pathlib.Path('ran.txt').open('a').write('x')"
    desk.write_notebook("folded.ipynb", ["1", slow, "2"], folded=True)
    visit = desk.open("folded.ipynb")
    for runs in (1, 2):
        visit.run_all()
        assert (desk.folder / "ran.txt").read_text() == "x" * runs


def test_the_course_opens_quietly_in_both_themes(desk: Desk) -> None:
    for dark, theme in ((False, "JupyterLab Light"), (True, "JupyterLab Dark")):
        desk.write_notebook(f"{theme}.ipynb", ["1 + 1"])
        visit = desk.open(f"{theme}.ipynb", dark=dark)
        visit.page.wait_for_selector(f"body[data-jp-theme-name='{theme}']", state="attached")
        shown = visit.page.locator(".jp-FileBrowser, .jp-SideBar, #jp-bottom-panel, .jp-toast-button")
        assert [element for element in shown.all() if element.is_visible()] == []
        names = visit.page.locator(".jp-NotebookPanel-toolbar jp-button").all_text_contents()
        assert [name for name in names if name] == ["Run this cell", "Run all", "Stop", "Restart"]
