"""Where addresses are looked up first: one that is answered at once, then all the others.

The pages with everything they rest on are loaded when an address beyond the first is asked for, or
beforehand by `served`.
"""

from django.urls import URLPattern, URLResolver, path
from django.urls.resolvers import RoutePattern

from graftwright.web.sync.hello import hello

urlpatterns: list[URLPattern | URLResolver] = [
    path("sync/hello", hello, name="hello"),
    URLResolver(RoutePattern(""), "graftwright.web.urls"),
]
