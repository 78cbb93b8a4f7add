#include "forecast/layer_checks.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <iterator>
#include <string>
#include <string_view>
#include <unordered_set>
#include <utility>
#include <vector>

#include "core/problem.hpp"
#include "libseal/ageing/evaluate.hpp"
#include "libseal/catalogue/sealant.hpp"
#include "libseal/core/require.hpp"

namespace libseal::detail {
namespace {

using Eigen::Index;

std::string at(const char* column, Index row) { return std::string(column) + "[" + std::to_string(row) + "]"; }

void require_rows(Index size, Index count, const char* column, bool may_be_empty) {
    if (size == count || (may_be_empty && size == 0)) return;
    throw_value_error(column, std::to_string(count) + " values, one a layer" + (may_be_empty ? ", or none" : ""), std::to_string(size));
}

void require_index(std::int32_t index, std::size_t size, const std::string& place, const char* list) {
    if (index < 0 || static_cast<std::size_t>(index) >= size)
        throw_value_error(place, "an index into " + std::string(list) + ", 0 to " + std::to_string(static_cast<long>(size) - 1), std::to_string(index));
}

constexpr const char* kinds[] = {"cap_bead", "bedding", "gasket", "insert", "cover_tape", "wiper_seal", "bulb_seal"};

bool within(double value, double low, double high) { return value >= low && value <= high; }

/// Says what is wrong with a key, if anything is.
void check_key(const LayerKey& key, const LayerColumns& layers, const Catalogue& catalogue, const std::string& place) {
    require_index(key.station, layers.stations.size(), place + "station", "stations");
    require_between(key.tilt, 0, 180, place + "tilt");
    if (!std::isnan(key.azimuth)) require_between(key.azimuth, -360, 360, place + "azimuth");
    require_between(key.absorptance, 0, 1, place + "absorptance");
    require_between(key.emittance, 0, 1, place + "emittance");
    if (std::find(std::begin(kinds), std::end(kinds), key.layer) == std::end(kinds))
        throw_value_error(place + "layer", "cap_bead, bedding, gasket, insert, cover_tape, wiper_seal or bulb_seal", "\"" + key.layer + "\"");
    try {
        cover_factors(key.cover);
        sealant(catalogue, key.family);
    } catch (const ValueError& error) {
        throw ValueError(problems_within(place, error.problems()));
    }
}

/// Cover, family and layer of a key.
using KeyWords = std::array<std::string_view, 3>;
struct KeyWordsHash {
    std::size_t operator()(const KeyWords& words) const {
        std::size_t mixed = 0;
        for (const std::string_view word : words) mixed = mixed * 0x9E3779B97F4A7C15u + std::hash<std::string_view>{}(word);
        return mixed;
    }
};

void check_day(std::int32_t day, Date as_of, const std::string& place) {
    if (day < earliest_layer_day.days || day > as_of.days)
        throw_value_error(place, "a day from 1900-01-01 to as_of, " + to_text(as_of) + ", in days since 1970-01-01",
                          std::to_string(day));
}

}  // namespace

/// Numbers are looked at key by key, words once each: a market has hundreds of thousands of keys.
void check_keys(const LayerColumns& layers, const Catalogue& catalogue) {
    std::unordered_set<KeyWords, KeyWordsHash> known;
    for (std::size_t k = 0; k < layers.keys.size(); ++k) {
        const LayerKey& key = layers.keys[k];
        const bool good = key.station >= 0 && static_cast<std::size_t>(key.station) < layers.stations.size() && within(key.tilt, 0, 180) &&
                          (std::isnan(key.azimuth) || within(key.azimuth, -360, 360)) && within(key.absorptance, 0, 1) && within(key.emittance, 0, 1);
        if (!known.insert({key.cover, key.family, key.layer}).second && good) continue;
        check_key(key, layers, catalogue, "keys[" + std::to_string(k) + "].");
    }
}

void check_layers(const LayerColumns& layers, Date as_of) {
    const Index count = layers.key.size();
    require_rows(layers.installed.size(), count, "installed", false);
    require_rows(layers.movement_factor.size(), count, "movement_factor", true);
    require_rows(layers.length.size(), count, "length", true);
    for (Index i = 0; i < count; ++i) {
        if (layers.key[i] < 0 || static_cast<std::size_t>(layers.key[i]) >= layers.keys.size())
            require_index(layers.key[i], layers.keys.size(), at("key", i), "keys");
        if (layers.installed[i] < earliest_layer_day.days || layers.installed[i] > as_of.days) check_day(layers.installed[i], as_of, at("installed", i));
    }
    for (Index i = 0; i < layers.movement_factor.size(); ++i)
        if (!(layers.movement_factor[i] > 0) || std::isinf(layers.movement_factor[i])) require_positive(layers.movement_factor[i], at("movement_factor", i));
    for (Index i = 0; i < layers.length.size(); ++i)
        if (!(layers.length[i] >= 0) || std::isinf(layers.length[i])) require_not_negative(layers.length[i], at("length", i));
}

Date checked_forecast_day(Date as_of) {
    static const Date latest = make_date(9899, 12, 31);
    if (as_of > latest) throw_value_error("as_of", "a day not after " + to_text(latest), to_text(as_of));
    return as_of;
}

void check_looks(const LayerColumns& layers, Date as_of) {
    const Index count = layers.look_row.size();
    require_rows(layers.look_date.size(), count, "look_date", false);
    require_rows(layers.look_grade.size(), count, "look_grade", false);
    require_rows(layers.look_measured.size(), count, "look_measured", true);
    for (Index i = 0; i < count; ++i) {
        if (layers.look_row[i] < 0 || layers.look_row[i] >= layers.key.size())
            require_index(layers.look_row[i], static_cast<std::size_t>(layers.key.size()), at("look_row", i), "the layers");
        if (i > 0 && layers.look_row[i] < layers.look_row[i - 1])
            throw_value_error(at("look_row", i), "rows that do not fall", std::to_string(layers.look_row[i]), "sort looks by layer and date");
        if (layers.look_date[i] < earliest_layer_day.days || layers.look_date[i] > as_of.days) check_day(layers.look_date[i], as_of, at("look_date", i));
        if (i > 0 && layers.look_row[i] == layers.look_row[i - 1] && layers.look_date[i] < layers.look_date[i - 1])
            throw_value_error(at("look_date", i), "dates of a layer that do not fall", to_text(Date{layers.look_date[i]}), "sort looks by layer and date");
        if (layers.look_grade[i] < 0 || layers.look_grade[i] > 5)
            throw_value_error(at("look_grade", i), "a grade from 0 to 5", std::to_string(layers.look_grade[i]));
    }
}

}  // namespace libseal::detail
