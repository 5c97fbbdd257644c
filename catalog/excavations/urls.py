"""Addresses of digs, lifts, bags, sites, permits and material lots."""

from django.urls import path

from catalog.excavations import api
from catalog.excavations.pages import around, digs, lifting, lots

PAGES = [
    path("excavations/", digs.excavations, name="excavations"),
    path("excavations/new/", digs.new_excavation, name="new-excavation"),
    path("excavations/<str:number>/", digs.excavation, name="excavation"),
    path("excavations/<str:number>/change/", digs.change_excavation, name="change-excavation"),
    path("excavations/<str:number>/place/", digs.place_excavation, name="place-excavation"),
    path("excavations/<str:number>/history/", digs.history, name="excavation-history"),
    path("excavations/<str:number>/pours/new/", lifting.new_pour, name="new-pour"),
    path("excavations/<str:number>/lifts/new/", lifting.new_lift_of, name="new-lift-of"),
    path("lifts/new/", lifting.new_lift, name="new-lift"),
    path("bags/", lifting.bags, name="bags"),
    path("bags/new/", lifting.new_bags, name="new-bags"),
    path("bags/<str:code>/", lifting.bag, name="bag"),
    path("bags/<str:code>/tie/", lifting.tie_bag, name="tie-bag"),
    path("bags/<str:code>/close/", lifting.close_bag, name="close-bag"),
    path("sites/", around.sites, name="sites"),
    path("sites/new/", around.new_site, name="new-site"),
    path("sites/<int:pk>/", around.site, name="site"),
    path("sites/<int:pk>/change/", around.change_site, name="change-site"),
    path("sites/<int:pk>/category/", around.site_category, name="site-category"),
    path("permits/", around.permits, name="permits"),
    path("permits/new/", around.new_permit, name="new-permit"),
    path("permits/<int:pk>/", around.permit, name="permit"),
    path("permits/<int:pk>/change/", around.change_permit, name="change-permit"),
    path("material-lots/", lots.lots, name="material-lots"),
    path("material-lots/new/", lots.new_lot, name="new-lot"),
    path("material-lots/<str:code>/", lots.lot, name="material-lot"),
    path("material-lots/<str:code>/taken-in/", lots.move_material, {"kind": "taken in"}, name="lot-taken-in"),
    path("material-lots/<str:code>/put-back/", lots.move_material, {"kind": "put back"}, name="lot-put-back"),
    path("material-lots/<str:code>/lost/", lots.move_material, {"kind": "lost"}, name="lot-lost"),
    path("material-lots/<str:code>/corrected/", lots.move_material, {"kind": "corrected"}, name="lot-corrected"),
]
API = [
    ("excavations", api.Excavations),
    ("sites", api.Sites),
    ("permits", api.Permits),
    ("pours", api.Pours),
    ("lifts", api.Lifts),
    ("bags", api.Bags),
    ("material-lots", api.MaterialLots),
]
API_PATHS = [
    path("sites/<str:number>/category/", api.SiteCategory.as_view({"post": "create"}), name="api-site-category"),
    path(
        "material-lots/<str:number>/lines/",
        api.LotLines.as_view({"get": "list", "post": "create"}),
        name="api-lot-lines",
    ),
]
