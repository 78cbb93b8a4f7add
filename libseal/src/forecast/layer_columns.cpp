#include "libseal/forecast/layer_columns.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>
#include <unordered_map>

#include "forecast/cell_belief.hpp"
#include "forecast/layer_checks.hpp"
#include "forecast/layers.hpp"
#include "forecast/unseen_defects.hpp"
#include "libseal/forecast/track.hpp"
#include "libseal/core/parallel.hpp"
#include "libseal/core/require.hpp"

namespace libseal {
namespace {

using detail::CellBelief;
using detail::LifeModel;
using Eigen::Index;

constexpr std::size_t keys_together = 256;  // of one station, evaluated and asked together
constexpr std::array<double, 3> due_shares = {0.1, 0.5, 0.9};
/// Keys in the order of their stations, cut into parts, and rows in the order of their parts: within a part they lie as in the
/// columns, so that rows of a coach are worked on one after the other and memory is walked through once.
struct Grouped {
    /// @param whole_stations  Keys without rows too, of the stations that have any.
    Grouped(const LayerColumns& layers, bool whole_stations)
        : place(layers.keys.size()), has_rows(layers.keys.size(), false), rows(static_cast<std::size_t>(layers.key.size())) {
        for (const std::int32_t key : layers.key) has_rows[static_cast<std::size_t>(key)] = true;
        order_keys(layers, whole_stations);
        std::vector<std::size_t> part_of(layers.keys.size(), 0);
        for (std::size_t part = 0; part + 1 < part_begin.size(); ++part)
            for (std::size_t i = part_begin[part], before = 0; i < part_begin[part + 1]; ++i) {
                part_of[used[i]] = part;
                place[used[i]] = before;
                before += has_rows[used[i]] ? 1 : 0;
            }
        row_begin.assign(part_begin.size(), 0);
        for (const std::int32_t key : layers.key) ++row_begin[part_of[static_cast<std::size_t>(key)] + 1];
        std::partial_sum(row_begin.begin(), row_begin.end(), row_begin.begin());
        std::vector<std::size_t> next = row_begin;
        for (Index i = 0; i < layers.key.size(); ++i)
            rows[next[part_of[static_cast<std::size_t>(layers.key[i])]]++] = static_cast<std::int32_t>(i);
    }

    std::vector<std::size_t> used;        ///< keys to work out
    std::vector<std::size_t> part_begin;  ///< of parts of `used`, with their end
    std::vector<std::size_t> place;       ///< of each key that has rows, among such keys of its part
    std::vector<bool> has_rows;           ///< of each key
    std::vector<std::int32_t> rows;
    std::vector<std::size_t> row_begin;   ///< of each part among `rows`, with their end

private:
    void order_keys(const LayerColumns& layers, bool whole_stations) {
        std::vector<std::size_t> at_station(layers.stations.size() + 1, 0);
        std::vector<bool> station_has_rows(layers.stations.size(), false);
        const auto station = [&](std::size_t k) { return static_cast<std::size_t>(layers.keys[k].station); };
        for (std::size_t k = 0; k < layers.keys.size(); ++k)
            if (has_rows[k]) station_has_rows[station(k)] = true;
        const auto wanted = [&](std::size_t k) { return whole_stations ? station_has_rows[station(k)] : has_rows[k]; };
        for (std::size_t k = 0; k < layers.keys.size(); ++k)
            if (wanted(k)) ++at_station[station(k) + 1];
        std::partial_sum(at_station.begin(), at_station.end(), at_station.begin());
        used.resize(at_station.back());
        for (std::size_t k = 0; k < layers.keys.size(); ++k)
            if (wanted(k)) used[at_station[station(k)]++] = k;
        for (std::size_t i = 0; i < used.size(); ++i) {
            const bool new_station = i == 0 || station(used[i]) != station(used[i - 1]);
            if (new_station || i - part_begin.back() == keys_together) part_begin.push_back(i);
        }
        part_begin.push_back(used.size());
    }
};

/// What all calls with a catalogue share: see Catalogue::derived.
struct ColumnModel {
    explicit ColumnModel(const Catalogue& catalogue)
        : life(detail::life_model(catalogue)),
          grade([this](double log_r) { return std::min(5.0, grade_of_worn_share(life.scale, std::exp(log_r))); }),
          looks(life.scale),
          contradiction_weight(catalogue.number("model/contradiction_weight")) {
        for (std::size_t k = 0; k < due_shares.size(); ++k) unseen_quantile[k] = life.prior.life->quantile(due_shares[k]);
    }
    const LifeModel life;
    const detail::CellSlices grade;
    mutable detail::CellLooks looks;
    double contradiction_weight;
    std::array<double, 3> unseen_quantile{};
};

/// What all rows of a call share.
struct Common {
    Common(const LayerColumns& columns, Date day, const LayerOptions& chosen)
        : layers(columns), as_of(day), options(chosen), model(chosen.catalogue.derived<ColumnModel>()) {
        first_look.assign(static_cast<std::size_t>(columns.key.size()) + 1, 0);
        for (const std::int32_t row : columns.look_row) ++first_look[static_cast<std::size_t>(row) + 1];
        std::partial_sum(first_look.begin(), first_look.end(), first_look.begin());
        for (const LayerKey& key : columns.keys)
            if (lives_.count(key.family) == 0) lives_[key.family] = sealant(chosen.catalogue, key.family).median_life / std::exp(model.life.prior.median_log);
    }
    const LayerColumns& layers;
    Date as_of;
    const LayerOptions& options;
    const ColumnModel& model;
    std::vector<std::size_t> first_look;  ///< of each row, with the end of all

    /// Life of a family at r = 1 of scale 1 [yr].
    double life_at_scale_1(const std::string& family) const { return lives_.at(family); }

private:
    std::unordered_map<std::string, double> lives_;  ///< by family
};

/// What the rows of a key share.
struct KeyAges {
    /// @param scale_of_life  Life at r = 1 of scale 1 [yr].
    KeyAges(const std::vector<MonthOfStay>& months, const std::vector<const ClockYear*>& clock, double scale_of_life, const std::array<Date, 5>& days,
            const std::array<double, 3>& unseen_quantile)
        : track(months, clock), scale(scale_of_life) {
        for (std::size_t d = 0; d < days.size(); ++d) totals[d] = track.total_at(days[d].days);
        for (std::size_t k = 0; k < due_shares.size(); ++k) unseen_life[k] = scale * std::exp(unseen_quantile[k]);
    }
    AgeTrack track;
    double scale;
    std::array<double, 5> totals{};       ///< of the track on the days asked for [yr]
    std::array<double, 3> unseen_life{};  ///< at `due_shares`, of a layer that nobody looked at [yr]
};

/// as_of, and the days of the other chances.
std::array<Date, 5> asked_days(Date as_of) { return {as_of, as_of + 90, add_months(as_of, 12), add_months(as_of, 24), add_months(as_of, 60)}; }

/// Fills rows; one a thread.
class RowFiller {
public:
    RowFiller(const Common& common, LayerForecast& result) : common_(common), result_(result), belief_(common.model.life.prior) {}

    void fill_row(Index i, const KeyAges& key) {
        const LayerColumns& layers = common_.layers;
        const Date installed{layers.installed[i]};
        const double factor = layers.movement_factor.size() ? layers.movement_factor[i] : 1, from = key.track.total_at(installed.days);
        const auto log_age = [&, share = factor / key.scale](double total) { return std::log(share * (total - from)); };
        const bool seen = see(i, installed, [&](Date day) { return log_age(key.track.total_at(day.days)); });
        const double age = factor * (key.totals[0] - from);
        result_.age[i] = years_between(installed, common_.as_of);
        result_.effective_age[i] = age;
        std::array<double, 5> log_ages;
        for (std::size_t d = 0; d < log_ages.size(); ++d) log_ages[d] = log_age(key.totals[d]);
        Column* const due[] = {&result_.due_now, &result_.due_90_days, &result_.due_1_year, &result_.due_2_years, &result_.due_5_years};
        for (std::size_t d = 0; d < log_ages.size(); ++d)
            (*due[d])[i] = seen ? belief_.below(log_ages[d]) : common_.model.life.prior.life->below(log_ages[d]);
        DateColumn* const days[] = {&result_.due_10, &result_.due_50, &result_.due_90};
        for (std::size_t k = 0; k < due_shares.size(); ++k) {
            const double life = seen ? key.scale * std::exp(belief_.quantile(due_shares[k])) : key.unseen_life[k];
            (*days[k])[i] = key.track.day_of_age(life / factor, installed, from).days;
        }
        if (!(age > 0)) result_.condition[i] = 0;
        else result_.condition[i] = seen ? belief_.mean(common_.model.grade, log_ages[0]) : common_.model.life.prior.life->grade(age / key.scale, common_.model.life.scale);
    }

private:
    /// Takes in the looks of a row; false if it has none.
    template <class LogAge>
    bool see(Index i, Date installed, const LogAge& log_age) {
        const LayerColumns& layers = common_.layers;
        const LifeModel& model = common_.model.life;
        const auto first = static_cast<Index>(common_.first_look[static_cast<std::size_t>(i)]);
        const auto end = static_cast<Index>(common_.first_look[static_cast<std::size_t>(i) + 1]);
        bool any = false;
        detail::UnseenDefects defects(model, layers.length.size() ? layers.length[i] : 0);
        for (Index k = first; k < end; ++k) {
            const Date day{layers.look_date[k]};
            if (!(day > installed)) continue;
            if (!any) belief_.begin();
            any = true;
            const int grade = layers.look_grade[k], highest = grade == 0 ? 1 : grade;
            const bool measured = layers.look_measured.size() && layers.look_measured[k] != 0;
            const double early = defects.take(grade, highest, years_between(installed, day));
            belief_.see(tables_of(grade, highest, measured), log_age(day), early, contradicts(first, end, k, installed) ? common_.model.contradiction_weight : 1);
        }
        if (any) belief_.sum();
        return any;
    }

    const detail::CellLookTables& tables_of(int grade, int highest, bool measured) {
        auto& known = tables_[static_cast<std::size_t>(2 * grade + measured)];
        const GradeScale& scale = common_.model.life.scale;
        if (!known) known = common_.model.looks.tables(grade, highest, measured ? scale.measured_noise : scale.look_noise);
        return *known;
    }

    /// Whether a look says a grade that others of the layer, after its fitting, cannot have come from or have come to.
    bool contradicts(Index first, Index end, Index k, Date installed) const {
        constexpr int clear_fall = 2;  // grades; one is within the noise of two looks
        const LayerColumns& layers = common_.layers;
        const auto falls = [&](Index before, Index after) {
            const int highest_after = layers.look_grade[after] == 0 ? 1 : layers.look_grade[after];
            return layers.look_grade[before] - highest_after >= clear_fall;
        };
        for (Index other = first; other < end; ++other)
            if (Date{layers.look_date[other]} > installed && (other < k ? falls(other, k) : other > k && falls(k, other))) return true;
        return false;
    }

    const Common& common_;
    LayerForecast& result_;
    std::array<std::shared_ptr<const detail::CellLookTables>, 12> tables_;
    CellBelief belief_;
};

/// @param clock  Is overwritten; its words keep their memory.
const ClockKey& clock_key(const LayerKey& key, int site, ClockKey& clock) {
    clock.site = site;
    clock.tilt = key.tilt;
    const bool flat = key.tilt == 0 || key.tilt == 180;
    clock.azimuth = flat ? 180 : std::isnan(key.azimuth) ? -1 : key.azimuth - 360 * std::floor(key.azimuth / 360);
    clock.absorptance = key.absorptance;
    clock.emittance = key.emittance;
    clock.cover = key.cover;
    clock.family = key.family;
    clock.law = law_of_layer(key.layer);
    clock.depth = depth_of_layer(key.layer);
    return clock;
}

/// The clocks of the keys of one part that have rows; null for the others.
class PartClocks {
public:
    PartClocks(const Common& common, const Grouped& grouped, std::size_t part, const std::shared_ptr<Session>& session)
        : layers_(common.layers),
          first_(grouped.used.data() + grouped.part_begin[part]),
          count_(grouped.part_begin[part + 1] - grouped.part_begin[part]),
          store_(common.options.catalogue, session),
          site_(store_.add_site(layers_.stations[static_cast<std::size_t>(layers_.keys[*first_].station)], common.options.seed)) {
        ClockKey asked;
        std::vector<std::size_t> with_rows, without;
        for (std::size_t i = 0; i < count_; ++i) (grouped.has_rows[first_[i]] ? with_rows : without).push_back(i);
        clocks_ = store_.known(with_rows.size(), [&](std::size_t i) -> const ClockKey& { return clock_key(key(with_rows[i]), site_, asked); });
        if (std::find(clocks_.begin(), clocks_.end(), nullptr) == clocks_.end()) return;
        // The hours of a station are dear: once some are needed, its other keys, which other rows will ask for, are worked out too.
        std::vector<int> numbers;
        for (const std::size_t i : with_rows) numbers.push_back(store_.add_key(clock_key(key(i), site_, asked)));
        for (const std::size_t i : without) store_.add_key(clock_key(key(i), site_, asked));
        store_.evaluate(1, {}, common.options.session != nullptr);
        for (std::size_t i = 0; i < numbers.size(); ++i) clocks_[i] = store_.shared_clock(numbers[i]);
    }
    /// Of the i-th key that has rows.
    const ClockYear& operator[](std::size_t i) const { return *clocks_[i]; }

private:
    const LayerKey& key(std::size_t i) const { return layers_.keys[first_[i]]; }

    const LayerColumns& layers_;
    const std::size_t* first_;
    std::size_t count_;
    ClockStore store_;
    int site_;  ///< of all keys of a part
    std::vector<std::shared_ptr<const ClockYear>> clocks_;
};

/// Works out the keys of one part and fills their rows.
void fill_part(const Common& common, const Grouped& grouped, std::size_t part, const std::shared_ptr<Session>& session, LayerForecast& result) {
    const PartClocks clocks(common, grouped, part, session);
    RowFiller filler(common, result);
    const std::vector<MonthOfStay> always{{detail::earliest_layer_day, add_years(common.as_of, 60), 0, 1900, 1}};
    const std::array<Date, 5> days = asked_days(common.as_of);
    std::vector<KeyAges> keys;  // of those that have rows
    keys.reserve(keys_together);
    for (std::size_t u = grouped.part_begin[part]; u < grouped.part_begin[part + 1]; ++u) {
        if (!grouped.has_rows[grouped.used[u]]) continue;
        keys.emplace_back(always, std::vector<const ClockYear*>{&clocks[keys.size()]}, common.life_at_scale_1(common.layers.keys[grouped.used[u]].family), days,
                          common.model.unseen_quantile);
    }
    for (std::size_t r = grouped.row_begin[part]; r < grouped.row_begin[part + 1]; ++r) {
        const Index row = grouped.rows[r];
        filler.fill_row(row, keys[grouped.place[static_cast<std::size_t>(common.layers.key[row])]]);
    }
}

}  // namespace

LayerForecast forecast_layers(const LayerColumns& layers, Date as_of, const LayerOptions& options) {
    detail::checked_forecast_day(as_of);
    detail::check_keys(layers, options.catalogue);
    detail::check_layers(layers, as_of);
    detail::check_looks(layers, as_of);
    const Index count = layers.key.size();
    LayerForecast result;
    result.as_of = as_of;
    for (Column* column : {&result.age, &result.effective_age, &result.condition, &result.due_now, &result.due_90_days, &result.due_1_year,
                           &result.due_2_years, &result.due_5_years})
        column->resize(count);
    for (DateColumn* column : {&result.due_10, &result.due_50, &result.due_90}) column->resize(count);
    const Common common(layers, as_of, options);
    const Grouped grouped(layers, options.session != nullptr);
    const auto session = options.session ? options.session : std::make_shared<Session>(options.catalogue);
    const std::size_t parts = grouped.part_begin.size() - 1;
    ProgressReporter reporter(options.watch, "layers");
    parallel_for(
        parts, options.threads, [&](std::size_t part) { fill_part(common, grouped, part, session, result); },
        [&](std::size_t done) { reporter.tick(static_cast<double>(done) / static_cast<double>(std::max<std::size_t>(1, parts))); });
    return result;
}

}  // namespace libseal
