"""The air of the shop, as commands and job files tell it. On its own, so that a quick question loads no
more."""

from woodmove.contract.params import Param
from woodmove.extend.params import HUMIDITY, TEMPERATURE

SHOP_TEMP = Param("temp_c", "--temp", TEMPERATURE, "Temperature of the air", "70F", "shop.temp", low=-60,
                  high=150)  # fmt: skip
SHOP_RH = Param("rh_pct", "--rh", HUMIDITY, "Relative humidity of the air", "50", "shop.rh", low=0, high=100)
