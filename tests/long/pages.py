"""Pages in a browser: pages.py AXE PAGE..."""

import os
import sys

from selenium import webdriver
from selenium.webdriver.chrome.options import Options
from selenium.webdriver.chrome.service import Service

LOOKS = {"desk": (1280, ""), "phone": (390, ""), "print": (1280, "print")}  # pixels; medium

options = Options()
for word in ("--headless=new", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage"):
    options.add_argument(word)
options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
browser = webdriver.Chrome(service=Service("chromedriver"), options=options)
with open(sys.argv[1], encoding="utf-8") as file:
    axe = file.read()
failed = False


def look(page, how):
    browser.get("file://" + os.path.abspath(page))
    browser.execute_script(axe)
    found = browser.execute_async_script("axe.run().then(arguments[arguments.length - 1])")
    wrong = ["%s: %s" % (v["id"], v["nodes"][0]["html"][:120]) for v in found["violations"]]
    if len(found["passes"]) < 10:
        wrong.append("only %d rules were tried" % len(found["passes"]))
    wide, window = browser.execute_script(
        "const e = document.documentElement; return [e.scrollWidth, e.clientWidth]")
    if wide > window:
        wrong.append("%d pixels wide in a window of %d" % (wide, window))
    wrong += [line["message"] for line in browser.get_log("browser")]
    return ["%s: %s" % (how, what) for what in wrong]


try:
    for page in sys.argv[2:]:
        wrong = []
        for how, (width, medium) in LOOKS.items():
            browser.set_window_size(width, 900)
            browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": medium})
            wrong += look(page, how)
        name = os.path.basename(page)
        print("not ok - %s: %s" % (name, "; ".join(wrong)) if wrong else "ok - " + name, flush=True)
        failed = failed or bool(wrong)
finally:
    browser.quit()
sys.exit(failed)
