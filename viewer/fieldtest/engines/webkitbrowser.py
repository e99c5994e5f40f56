"""A browser of WebKitGTK that WebKitWebDriver drives: python3 webkitbrowser.py FOLDER LON LAT ACCURACY.

WebKitGTK's own MiniBrowser forgets everything when it ends while it is driven. This one keeps
what pages store in FOLDER/data and its cache in FOLDER/cache, as a browser on a phone does,
and stands at a fixed place. Questions other than for the place are never answered.
"""

import sys
import time

import gi

gi.require_version("Gtk", "3.0")
gi.require_version("WebKit2", "4.1")
from gi.repository import Gtk, WebKit2  # noqa: E402

folder, (lon, lat, accuracy) = sys.argv[1], map(float, sys.argv[2:5])
data = WebKit2.WebsiteDataManager(base_data_directory=folder + "/data", base_cache_directory=folder + "/cache")
context = WebKit2.WebContext(website_data_manager=data)
context.set_automation_allowed(True)
waiting = []  # questions that nobody answers are kept, or they would be refused


def place(manager):
    position = WebKit2.GeolocationPosition.new(lat, lon, accuracy)
    position.set_timestamp(int(time.time()))
    manager.update_position(position)
    return True


def asked(_, question):
    if isinstance(question, WebKit2.GeolocationPermissionRequest):
        question.allow()
    else:
        waiting.append(question)
    return True


def chooses(_, request):
    waiting.append(request)  # the driver gives the file
    return True


def opened(_):
    view = WebKit2.WebView(web_context=context, is_controlled_by_automation=True)
    view.connect("permission-request", asked)
    view.connect("run-file-chooser", chooses)
    window = Gtk.Window()
    window.set_default_size(412, 800)
    window.add(view)
    view.connect("close", lambda _: window.destroy())
    window.show_all()
    return view


def began(_, session):
    session.connect("create-web-view", opened)
    info = WebKit2.ApplicationInfo()
    info.set_name("WebKitGTK")
    session.set_application_info(info)


context.connect("automation-started", began)
context.get_geolocation_manager().connect("start", place)
Gtk.main()
