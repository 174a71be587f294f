"""Does this order work? The tables of the jobs judged last are kept, so that one order after the other is judged while it is dragged."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from bendwright.bench.pages.order_page import OrderPage, order_page
from bendwright.bench.work import Tell
from bendwright.drawing.plan_file import plan_from_json
from bendwright.drawing.saved_part import part_from_json
from bendwright.job import hand_orders
from bendwright.plan.hand_order import HandOrders
from bendwright.wanted.job_words import read_sheet, read_shop_named, read_wishes

MOST_KEPT = 4
_kept: dict[str, HandOrders] = {}


def order(given: Mapping[str, Any], tell: Tell) -> OrderPage:
    """The verdict on "order" with "pins" for the planned job "job" ("part", "sheet", "shop", "wishes", "plan" as they are kept)."""
    orders = _kept.pop(given["job"], None) or _orders(given)
    _kept[given["job"]] = orders
    while len(_kept) > MOST_KEPT:
        del _kept[next(iter(_kept))]
    return order_page(orders, orders.judged(tuple(given["order"]), tuple(given["pins"])))


def _orders(given: Mapping[str, Any]) -> HandOrders:
    shop = read_shop_named(given["shop"])
    part = part_from_json(json.dumps(given["part"]))
    sheet = read_sheet(given["sheet"], shop, part.header)
    plan = plan_from_json(json.dumps(given["plan"]))
    return hand_orders(part, sheet, shop, read_wishes({**given["wishes"], "pins": ()}, shop), planned=plan)
