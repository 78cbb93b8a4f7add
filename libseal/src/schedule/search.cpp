#include "schedule/search.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "libseal/core/random.hpp"

namespace libseal::detail {
namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

/// One number for the heat of the search; order of size stands for order of rank.
double cost(const ScheduleScore& score) {
    return static_cast<double>(score.broken) * 1e4 + static_cast<double>(score.urgent) * 2e3 + static_cast<double>(score.late) * 10 +
           static_cast<double>(score.moved) * 100 + static_cast<double>(score.stay) + score.changes * 0.1;
}

class Search {
public:
    Search(const Jobs& jobs, ShopHours& hours, const ShopBound& bound, const ScheduleOptions& options)
        : jobs_(jobs), bound_(bound), options_(options), generator_(jobs, hours), random_(options.seed), kinds_(jobs.bay_kind) {
        std::sort(kinds_.begin(), kinds_.end());
        kinds_.erase(std::unique(kinds_.begin(), kinds_.end()), kinds_.end());
    }

    ShopSearch take() {
        ProgressReporter reporter(options_.watch, "schedule");
        try {
            first_drafts(reporter);
            one_kind_for_all();
            improve(reporter);
        } catch (const Cancelled&) {
            result_.cancelled = true;
            result_.stopped = "a stop was asked for";
        }
        result_.generated = static_cast<int>(std::ceil(spent() - 1e-9));
        result_.found = result_.best.complete && result_.best.score.broken == 0;
        return std::move(result_);
    }

private:
    double spent() const { return generator_.worked(); }
    bool over() const { return spent() >= options_.work_limit || proved(); }
    bool proved() const {
        return result_.best.complete && result_.best.score.broken == 0 && !jobs_.running && proved_by(result_.best.score, bound_.score);
    }

    void keep(const ShopDraft& draft, const ShopKeys& keys) {
        if (!draft.complete) {
            if (!result_.best.complete && result_.best.stuck < 0) result_.best.stuck = draft.stuck;
            return;
        }
        if (result_.best.complete && draft.score >= result_.best.score) return;
        result_.best = draft;
        best_keys_ = keys;
    }

    void generate(const ShopKeys& keys, ShopDraft& draft, bool parallel = false) {
        generator_.generate(keys, draft, parallel);
        keep(draft, keys);
    }

    /// Backward and forward again; the draft and keys become the justified ones if they are no worse.
    void justify(ShopDraft& draft, ShopKeys& keys) {
        if (over() || jobs_.running) return;
        ShopKeys later = keys;
        generator_.push_back(draft, later.job);
        if (over()) return;
        generate(later, other_);
        if (other_.complete && other_.score <= draft.score) std::swap(draft, other_), std::swap(keys, later);
    }

    ShopKeys empty_keys() const {
        ShopKeys keys;
        keys.job.resize(jobs_.jobs.size());
        keys.guest.resize(jobs_.guests.size());
        keys.kind.assign(jobs_.guests.size(), -1);
        if (jobs_.running) keys.stick.assign(jobs_.jobs.size(), 1);
        return keys;
    }

    /// Longest way first; coaches by arrival, by promise, by the shortest stay.
    void first_drafts(ProgressReporter& reporter) {
        const int rules = jobs_.guests.size() > 1 ? 8 : 2;
        for (int rule = 0; rule < rules && (rule == 0 || !over()); ++rule) {
            ShopKeys keys = empty_keys();
            for (std::size_t g = 0; g < jobs_.guests.size(); ++g) {
                const Guest& guest = jobs_.guests[g];
                const Minute alone = bound_.end[g];
                const double promised = static_cast<double>(guest.promised > 0 ? guest.promised : alone + 14 * 1440);
                keys.guest[g] = rule / 2 == 0   ? static_cast<double>(alone)
                                : rule / 2 == 1 ? promised
                                : rule / 2 == 2 ? static_cast<double>(guest.arrival)
                                                : static_cast<double>(alone - guest.arrival);
            }
            for (std::size_t j = 0; j < jobs_.jobs.size(); ++j) {
                const BookedStep& job = jobs_.jobs[j];
                if (jobs_.running) keys.job[j] = static_cast<double>(job.known ? job.start : jobs_.now + 365 * 1440 - job.tail);
                else if (rule % 2 == 0) keys.job[j] = keys.guest[at(job.booking)] - static_cast<double>(job.tail);
                else keys.job[j] = keys.guest[at(job.booking)] * 1e4 - static_cast<double>(job.tail);
            }
            enter_with_first_job(keys);
            ShopDraft draft;
            generate(keys, draft, jobs_.jobs.size() <= 300 && rule == 1);
            reporter.tick(spent() / options_.work_limit);
            if (draft.complete) {
                starts_as_keys(draft, keys);
                for (int k = 0; k < 2; ++k) justify(draft, keys);
            }
            if (draft.complete && (!now_.complete || draft.score < now_.score)) now_ = draft, keys_ = keys;
            if (jobs_.running && rule == 0) new_guests_first();
        }
    }

    /// Where bays differ: all coaches wait for those of one kind.
    void one_kind_for_all() {
        for (std::size_t k = 0; kinds_.size() > 1 && k < kinds_.size() && now_.complete && !over(); ++k) {
            ShopKeys keys = keys_;
            std::fill(keys.kind.begin(), keys.kind.end(), kinds_[k]);
            ShopDraft draft;
            generate(keys, draft);
            for (int half = 0; half < 2 && draft.complete; ++half) justify(draft, keys);
            if (draft.complete && draft.score < now_.score) now_ = draft, keys_ = keys;
        }
    }

    /// One of the kinds of bay, or the next bay that is free.
    int any_kind() {
        const auto pick = random_.below(kinds_.size() + 1);
        return pick == kinds_.size() ? -1 : kinds_[pick];
    }

    /// A walk-in that is urgent may go before the others.
    void new_guests_first() {
        if (over() || !now_.complete) return;
        ShopKeys keys = keys_;
        bool any = false;
        for (std::size_t j = 0; j < jobs_.jobs.size(); ++j)
            if (!jobs_.jobs[j].known) keys.job[j] = static_cast<double>(jobs_.now - jobs_.jobs[j].tail), any = true;
        if (!any) return;
        ShopDraft draft;
        generate(keys, draft);
        if (draft.complete && draft.score < now_.score) now_ = draft, keys_ = keys;
    }

    /// A coach enters when the first of its jobs has its turn.
    void enter_with_first_job(ShopKeys& keys) const {
        for (std::size_t g = 0; g < jobs_.guests.size(); ++g)
            for (int j = jobs_.guests[g].first; j < jobs_.guests[g].last; ++j)
                keys.guest[g] = j == jobs_.guests[g].first ? keys.job[at(j)] : std::min(keys.guest[g], keys.job[at(j)]);
    }

    /// Keys by which the coaches are served one after the other.
    void one_by_one(const std::vector<int>& order, ShopKeys& keys) const {
        for (std::size_t k = 0; k < order.size(); ++k) {
            const Guest& guest = jobs_.guests[at(order[k])];
            for (int j = guest.first; j < guest.last; ++j) keys.job[at(j)] = 1e7 * static_cast<double>(k) - static_cast<double>(jobs_.jobs[at(j)].tail);
        }
        enter_with_first_job(keys);
    }

    /// One coach to another place in the order, or two change places. Returns the first place that changes.
    std::size_t shuffle(std::vector<int>& order) {
        const auto n = static_cast<std::ptrdiff_t>(order.size());
        const auto a = static_cast<std::ptrdiff_t>(random_.below(order.size()));
        const auto far = static_cast<std::ptrdiff_t>(1 + random_.below(random_.below(3) == 0 ? order.size() : 6));
        const auto b = std::clamp<std::ptrdiff_t>(a + (random_.below(2) ? far : -far), 0, n - 1);
        const auto first = order.begin();
        if (random_.below(2)) std::iter_swap(first + a, first + b);
        else if (a < b) std::rotate(first + a, first + a + 1, first + b + 1);
        else std::rotate(first + b, first + a, first + a + 1);
        return static_cast<std::size_t>(std::min(a, b));
    }

    /// Many coaches, one after the other: which order of coaches is good?
    void order_coaches(ProgressReporter& reporter) {
        const std::size_t n = jobs_.guests.size();
        std::vector<int> order(n), tried;
        std::iota(order.begin(), order.end(), 0);
        std::stable_sort(order.begin(), order.end(), [&](int a, int b) { return now_.begin[at(a)] < now_.begin[at(b)]; });
        const double begun = spent(), share = share_for_orders * (options_.work_limit - begun);
        ShopKeys keys = empty_keys();
        keys.kind = keys_.kind;
        ShopDraft current;
        one_by_one(order, keys);
        generate(keys, current);
        std::vector<char> stays(n);
        std::vector<int> kinds = keys.kind;
        while (current.complete && spent() - begun < share && !proved()) {
            tried = order;
            keys.kind = kinds;
            std::size_t first = 0;
            if (kinds_.size() > 1 && random_.below(3) == 0) {
                first = static_cast<std::size_t>(random_.below(n));
                keys.kind[at(tried[first])] = any_kind();
            } else {
                first = shuffle(tried);
            }
            for (std::size_t k = 0; k < n; ++k) stays[at(tried[k])] = k < first;
            one_by_one(tried, keys);
            generator_.generate_after(keys, current, stays, child_);
            keep(child_, keys);
            reporter.tick(spent() / options_.work_limit);
            if (!child_.complete) continue;
            const double heat = order_heat * static_cast<double>(current.score.stay) / static_cast<double>(n) * (1 - (spent() - begun) / share) + 1;
            if (random_.uniform() < std::exp(-std::max(0.0, cost(child_.score) - cost(current.score)) / heat)) {
                std::swap(current, child_);
                std::swap(order, tried);
                kinds = keys.kind;
            }
        }
        if (current.complete && current.score < now_.score) now_ = current, keys_.kind = kinds;
        if (result_.best.complete && result_.best.score < now_.score) now_ = result_.best, keys_.kind = best_keys_.kind;
    }

    void starts_as_keys(const ShopDraft& draft, ShopKeys& keys) const {
        for (std::size_t j = 0; j < draft.jobs.size(); ++j) keys.job[j] = static_cast<double>(draft.jobs[j].start);
        for (std::size_t g = 0; g < draft.begin.size(); ++g) keys.guest[g] = static_cast<double>(draft.begin[g]);
    }

    void improve(ProgressReporter& reporter) {
        if (!now_.complete) {
            result_.stopped = "no working time for some step within three years";
            return;
        }
        if (jobs_.guests.size() >= 4 && !jobs_.running) order_coaches(reporter);
        int idle = 0;
        while (!over()) {
            ShopKeys keys = keys_;
            starts_as_keys(now_, keys);
            const Minute from = shake(keys);
            generator_.generate_from(keys, now_, from, child_);
            keep(child_, keys);
            // With many coaches a generated schedule is dear: only children that are no worse are worth two more.
            const bool many = jobs_.guests.size() >= 4;
            if (child_.complete && cost(child_.score) <= cost(now_.score) * (many ? 1.0 : 1.02) + (many ? 0 : 60)) justify(child_, keys);
            const double worse = child_.complete ? cost(child_.score) - cost(now_.score) : 1e300;
            const double heat = 0.002 * static_cast<double>(std::max<Minute>(60, now_.score.stay) / std::max<Minute>(1, static_cast<Minute>(jobs_.guests.size())));
            const bool better = child_.complete && child_.score <= now_.score;
            if (better || (child_.complete && random_.uniform() < std::exp(-std::max(0.0, worse) / heat))) {
                std::swap(now_, child_);
                keys_ = keys;
            }
            idle = better ? 0 : idle + 1;
            if (idle > 300 && result_.best.complete) now_ = result_.best, keys_ = best_keys_, idle = 0;
            reporter.tick(spent() / options_.work_limit);
        }
        result_.proved = proved();
        result_.stopped = result_.proved ? "as good as the lower bound" : "work limit reached";
    }

    /// New keys for some jobs: those in a stretch of time, a few anywhere, or those of one coach.
    /// @return  what starts before it may stay as it is.
    Minute shake(ShopKeys& keys) {
        Minute first = jobs_.start + 4000 * 1440;
        const auto changed = [&](int job, double key) {
            first = std::min({first, now_.jobs[at(job)].start, static_cast<Minute>(std::floor(key))});
            keys.job[at(job)] = key;
            loosen(keys, job);
        };
        Minute from = jobs_.start + 400 * 1440, to = jobs_.start;
        for (std::size_t g = 0; g < now_.begin.size(); ++g) from = std::min(from, now_.begin[g]), to = std::max(to, now_.end[g]);
        const auto length = static_cast<double>(std::max<Minute>(1, to - from));
        const auto jobs = static_cast<int>(jobs_.jobs.size()), guests = static_cast<int>(jobs_.guests.size());
        if (kinds_.size() > 1 && random_.below(8) == 0) {
            const auto g = static_cast<int>(random_.below(static_cast<std::uint64_t>(guests)));
            keys.kind[at(g)] = any_kind();
            for (int j = jobs_.guests[at(g)].first; j < jobs_.guests[at(g)].last; ++j) changed(j, keys.job[at(j)]);
            return first;
        }
        const auto move = random_.below(guests > 1 ? 5 : 3);
        if (move == 0 || move == 2) {
            const double width = length * (0.05 + (guests > 1 ? 0.1 : 0.45) * random_.uniform());
            const double begin = static_cast<double>(from) - 0.1 * width + random_.uniform() * std::max(1.0, length - 0.8 * width);
            const int only = guests > 1 && random_.below(2) == 0 ? static_cast<int>(random_.below(static_cast<std::uint64_t>(guests))) : -1;
            for (int j = 0; j < jobs; ++j) {
                const Placed& place = now_.jobs[at(j)];
                if (static_cast<double>(place.end) < begin || static_cast<double>(place.start) > begin + width) continue;
                if (only >= 0 && jobs_.jobs[at(j)].booking != only) continue;
                const double blind = random_.uniform();
                const double by_tail = 1 - static_cast<double>(jobs_.jobs[at(j)].tail) / length;
                changed(j, begin + width * (move == 0 ? blind : 0.5 * blind + 0.5 * by_tail));
            }
        } else if (move == 1) {
            for (std::uint64_t k = 0, count = 1 + random_.below(4); k < count; ++k) {
                const auto j = static_cast<int>(random_.below(static_cast<std::uint64_t>(jobs)));
                changed(j, keys.job[at(j)] + (random_.uniform() - 0.5) * 0.7 * length * (guests > 1 ? 0.3 : 1.0));
            }
        } else {
            // One coach earlier or later as a whole, in the bays and with the people.
            const auto g = static_cast<int>(random_.below(static_cast<std::uint64_t>(guests)));
            const double by = (random_.uniform() - 0.5) * 0.3 * length;
            if (move == 3) keys.guest[at(g)] += by;
            for (int j = jobs_.guests[at(g)].first; j < jobs_.guests[at(g)].last; ++j) changed(j, keys.job[at(j)] + by);
        }
        return first;
    }

    void loosen(ShopKeys& keys, int job) {
        if (!keys.stick.empty()) keys.stick[at(job)] = random_.below(2) == 0;
    }

    static constexpr double share_for_orders = 0.3;
    static constexpr double order_heat = 0.03;  ///< at first, of the mean stay

    const Jobs& jobs_;
    const ShopBound& bound_;
    const ScheduleOptions& options_;
    ShopGenerator generator_;
    RandomStream random_;
    std::vector<int> kinds_;  ///< of bay, each once
    ShopSearch result_;
    ShopDraft now_, child_, other_;
    ShopKeys keys_, best_keys_;
};

}  // namespace

bool proved_by(const ScheduleScore& score, const ScheduleScore& bound) {
    return score.broken == 0 && score.urgent <= bound.urgent && score.late <= bound.late && score.stay <= bound.stay;
}

ShopSearch search_shop(const Jobs& jobs, ShopHours& hours, const ShopBound& bound, const ScheduleOptions& options) {
    return Search(jobs, hours, bound, options).take();
}

}  // namespace libseal::detail
