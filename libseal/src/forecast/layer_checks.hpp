#pragma once
// Whether columns of layers can be forecast. The first value that cannot be is named by column and row.

#include "libseal/forecast/layer_columns.hpp"

namespace libseal::detail {

/// Day before which nothing was installed or seen.
inline const Date earliest_layer_day = make_date(1900, 1, 1);

/// Ages are followed for decades after the day of a forecast, within the years that a date may have.
/// @return  The day. @throws ValueError  if it is later than 9899-12-31.
Date checked_forecast_day(Date as_of);

/// @throws ValueError  all of them.
void check_keys(const LayerColumns& layers, const Catalogue& catalogue);
void check_layers(const LayerColumns& layers, Date as_of);
void check_looks(const LayerColumns& layers, Date as_of);

}  // namespace libseal::detail
