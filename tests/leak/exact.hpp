#pragma once
// The exact posterior of an invented leak by inclusion and exclusion over the wet marks, written apart from the tracer:
// P(these marks and no others) = sum over subsets S of the wet ones of (-1)^|S| P(none of S and none of the dry ones).

#include <bit>
#include <set>

#include "generator.hpp"

namespace libseal_test {

class ExactLeak {
public:
    ExactLeak(const libseal::Coach& coach, const libseal::Drainage& drainage, const libseal::Catalogue& catalogue,
              const std::vector<LeakGenerator::Run>& runs, const LeakCase& one)
        : coach_(coach), drainage_(drainage), catalogue_(catalogue), runs_(runs), case_(one) {
        times_ = one.circumstances.empty() ? std::vector<std::string>{""} : one.circumstances;
        for (std::size_t k = 0; k < one.stains.size(); ++k)
            for (std::size_t c = 0; c < times_.size(); ++c) {
                const auto& appears = one.stains[k].appears;
                const bool wet = times_[c].empty() ? one.stains[k].wet : std::find(appears.begin(), appears.end(), times_[c]) != appears.end();
                seen_.push_back({k, c, wet});
            }
        for (std::size_t i = 0; i < seen_.size(); ++i) (seen_[i].wet ? all_wet_ : all_dry_) |= 1U << i;
        for (unsigned s = all_wet_;; s = (s - 1) & all_wet_) {
            subsets_.push_back(s);
            if (s == 0) break;
        }
        joint_none_.resize(coach.joints.size());
        for (std::size_t j = 0; j < coach.joints.size(); ++j)
            for (const unsigned s : subsets_) joint_none_[j].push_back(joint_leaves_none(j, s | all_dry_));
        total_ = sum({});
    }

    /// Probability that some joint of the list made a wet mark.
    double made(const std::set<std::size_t>& joints) const { return 1 - sum(joints) / total_; }
    double evidence() const { return total_; }

private:
    struct Seen {
        std::size_t stain, time;
        bool wet;
    };

    double sum(const std::set<std::size_t>& silent) const {
        double total = 0;
        for (std::size_t n = 0; n < subsets_.size(); ++n) {
            double term = others_leave_none(subsets_[n] | all_dry_);
            for (std::size_t j = 0; j < joint_none_.size(); ++j)
                term *= silent.contains(j) ? joint_leaves_none(j, all_wet_ | all_dry_) : joint_none_[j][n];
            total += std::popcount(subsets_[n]) % 2 ? -term : term;
        }
        return total;
    }

    /// No mark of a set, with the tests of this joint.
    double joint_leaves_none(std::size_t j, unsigned marks) const {
        double closed = 1, any = 1;  // all runs closed; whatever is open leaves none
        std::size_t count = 0;
        for (const auto& run : runs_) count += run.joint == j;
        const double p = 1 - std::pow(1 - case_.prior[j], 1.0 / static_cast<double>(count));
        for (const auto& run : runs_)
            if (run.joint == j) {
                closed *= 1 - p;
                any *= 1 - p + p * run_leaves_none(run, marks);
            }
        double open = any - closed;
        const double finds = catalogue_.number("leak/test/finds"), mistaken = catalogue_.number("leak/test/mistaken");
        for (const auto& test : case_.tests)
            if (test.joint == coach_.joints[j].id) {
                const double dry_open = (1 - mistaken) * (1 - finds), dry_closed = 1 - mistaken;
                open *= test.wet ? 1 - dry_open : dry_open;
                closed *= test.wet ? 1 - dry_closed : dry_closed;
            }
        return closed + open;
    }

    /// An open run leaves none of the marks: over which circumstances let water in, and which links pass.
    double run_leaves_none(const LeakGenerator::Run& run, unsigned marks) const {
        const std::string& exposure = drainage_.places[static_cast<std::size_t>(run.place)].exposure;
        double total = 0;
        for (unsigned in = 0; in < 1U << times_.size(); ++in) {
            double weight = 1;
            for (std::size_t c = 0; c < times_.size(); ++c) {
                const double lets = times_[c].empty() ? 1.0 : catalogue_.number("leak/when/" + exposure + "/" + times_[c]);
                weight *= (in >> c) & 1U ? lets : 1 - lets;
            }
            std::map<int, double> no_mark;  // at a place, given that water is there
            for (std::size_t i = 0; i < seen_.size(); ++i)
                if (((marks >> i) & 1U) && ((in >> seen_[i].time) & 1U)) {
                    const auto [at, fresh] = no_mark.emplace(case_.places[seen_[i].stain], 1.0);
                    at->second *= 1 - catalogue_.number("leak/mark/" + case_.stains[seen_[i].stain].kind + "/shows");
                }
            if (weight > 0) total += weight * silent_below(run.tree, run.place, no_mark);
        }
        return total;
    }

    double silent_below(const libseal::WaterTree& tree, int place, const std::map<int, double>& no_mark) const {
        std::set<int> on_way;  // only links that lead to a mark matter
        for (const auto& [end, p] : no_mark)
            for (const int link : tree.path_to(drainage_, end)) on_way.insert(link);
        return below(place, on_way, no_mark);
    }

    double below(int place, const std::set<int>& on_way, const std::map<int, double>& no_mark) const {
        const auto here = no_mark.find(place);
        double silent = here == no_mark.end() ? 1.0 : here->second;
        for (const int link : on_way) {
            const libseal::WaterLink& step = drainage_.links[static_cast<std::size_t>(link)];
            if (step.from == place) silent *= 1 - step.passes + step.passes * below(step.to, on_way, no_mark);
        }
        return silent;
    }

    double others_leave_none(unsigned marks) const {
        double product = 1;
        for (std::size_t i = 0; i < seen_.size(); ++i)
            if ((marks >> i) & 1U) product *= 1 - catalogue_.number("leak/mark/" + case_.stains[seen_[i].stain].kind + "/false");
        for (const char* cause : {"condensation", "plumbing", "cooling_condensate"}) product *= other_leaves_none(cause, marks);
        return product;
    }

    double other_leaves_none(const std::string& cause, unsigned marks) const {
        const auto unit = std::find_if(coach_.parts.begin(), coach_.parts.end(), [](const auto& p) { return p.kind == "air_conditioner"; });
        if (cause == "cooling_condensate" && unit == coach_.parts.end()) return 1;
        const std::string base = "leak/other/" + cause;
        double there = 1;
        for (std::size_t c = 0; c < times_.size(); ++c) {
            double at_work = 1;
            for (std::size_t i = 0; i < seen_.size(); ++i) {
                if (!((marks >> i) & 1U) || seen_[i].time != c) continue;
                const libseal::WaterPlace& place = drainage_.places[static_cast<std::size_t>(case_.places[seen_[i].stain])];
                const std::string id = base + "/reaches/" + place.kind;
                double share = catalogue_.has(id) ? catalogue_.number(id) : 0.0;
                if (cause == "cooling_condensate") {
                    const double x = (unit->low.u + unit->high.u) / 2, y = (unit->low.v + unit->high.v) / 2;
                    share *= std::exp(-std::hypot(x - place.place.x, y - place.place.y) / catalogue_.number(base + "/spread_m"));
                }
                at_work *= 1 - share * catalogue_.number("leak/mark/" + case_.stains[seen_[i].stain].kind + "/shows");
            }
            const double when = times_[c].empty() ? 1.0 : catalogue_.number(base + "/when/" + times_[c]);
            there *= 1 - when + when * at_work;
        }
        const double prior = catalogue_.number(base + "/prior");
        return 1 - prior + prior * there;
    }

    const libseal::Coach& coach_;
    const libseal::Drainage& drainage_;
    const libseal::Catalogue& catalogue_;
    const std::vector<LeakGenerator::Run>& runs_;
    const LeakCase& case_;
    std::vector<std::string> times_;
    std::vector<Seen> seen_;
    unsigned all_wet_ = 0, all_dry_ = 0;
    std::vector<unsigned> subsets_;
    std::vector<std::vector<double>> joint_none_;  ///< per joint and subset
    double total_ = 0;
};

}  // namespace libseal_test
