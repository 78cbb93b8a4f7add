#pragma once
// Invented leaks with a known cause. Synthetic: it tests that the tracer is honest about its own model, not that the
// model is true.
//
// One case is made forwards, cause before effect, and shares no code with the tracer but the drainage graph and the
// numbers of the catalogue:
//   1. Each joint gets a chance of being open, ln p ~ N(ln 0.05, 1.2), at most 0.6. Each of its runs is open on its own, so
//      that some run is open with p.
//   2. One or two circumstances are chosen at random (or none is known). Under each, an open run lets water in with the
//      chance of its exposure.
//   3. On the most probable ways from the run, each link is passable or not, once per run and for all circumstances.
//   4. Other causes (condensation, plumbing, condensate of the cooling) are there with their chance, at work under each
//      circumstance with its chance, and reach each place with its chance.
//   5. An inspector looks at a few places near a random one, whatever their state: water that got there leaves a mark that is
//      noticed with the chance of its kind, and marks are seen without a cause with another.
//   6. In every third case one or two joints are tested with water: an open one shows with "leak/test/finds", any one with
//      "leak/test/mistaken".
// Cases with fewer than two wet marks are thrown away: what is kept depends on what was seen only, so a posterior stays
// honest. (With a single mark most are false ones, and there is little to find.)

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <string>
#include <vector>

#include "libseal/core/random.hpp"
#include "libseal/leak/trace.hpp"

namespace libseal_test {

/// A way of a run link by link, and what it let through.
struct LeakCase {
    std::vector<double> prior;               ///< per joint of the coach
    std::vector<libseal::Stain> stains;
    std::vector<libseal::LeakTest> tests;
    std::set<std::string> causes;            ///< joints whose water made a wet mark
    std::vector<std::string> circumstances;  ///< empty: not known
    std::vector<int> places;                 ///< that each stain is at
};

class LeakGenerator {
public:
    LeakGenerator(const libseal::Coach& coach, const libseal::Drainage& drainage, const libseal::Catalogue& catalogue, std::uint64_t seed)
        : coach_(coach), drainage_(drainage), catalogue_(catalogue), random_(seed) {
        const libseal::WaterWays ways(drainage);
        for (std::size_t j = 0; j < coach.joints.size(); ++j)
            for (const int run : drainage.runs_of(coach.joints[j].id)) runs_.push_back({run, j, ways.from(run)});
        for (std::size_t i = 0; i < drainage.places.size(); ++i)
            if (drainage.places[i].inside) inside_.push_back(static_cast<int>(i));
    }

    LeakCase next() {
        for (;;) {
            LeakCase one = attempt();
            std::size_t wet = 0;
            for (const auto& stain : one.stains) wet += stain.appears.empty() ? stain.wet : stain.appears.size();
            if (wet >= 2) return one;
        }
    }

    struct Run {
        int place;
        std::size_t joint;
        libseal::WaterTree tree;
    };
    const std::vector<Run>& runs() const { return runs_; }

private:
    bool chance(double p) { return random_.uniform() < p; }
    double number(const std::string& id) const { return catalogue_.number(id); }

    LeakCase attempt() {
        LeakCase one;
        for (std::size_t j = 0; j < coach_.joints.size(); ++j) one.prior.push_back(std::min(0.6, 0.05 * std::exp(1.2 * random_.normal())));
        static const std::vector<std::string> known{"standing_rain", "driving_rain", "slide_out", "cooling_on", "cold_morning", "washing"};
        for (std::size_t k = random_.below(3); k > 0; --k) {
            const std::string name = known[random_.below(known.size())];
            if (one.circumstances.empty() || one.circumstances[0] != name) one.circumstances.push_back(name);
        }
        choose_places(one);
        // wet[place][circumstance] = joints that made the mark; "" for a cause that is no joint.
        std::vector<std::map<std::string, std::set<std::string>>> marks(one.places.size());
        std::map<std::size_t, bool> open;
        for (const auto& run : runs_) leak(run, one, marks, open);
        other_causes(one, marks);
        report(one, marks);
        if (random_.below(3) == 0)
            for (std::size_t k = 1 + random_.below(2); k > 0; --k) {
                const std::size_t j = random_.below(coach_.joints.size());
                const bool shows = chance(number("leak/test/mistaken")) || (open[j] && chance(number("leak/test/finds")));
                one.tests.push_back({coach_.joints[j].id, shows});
            }
        return one;
    }

    void choose_places(LeakCase& one) {
        const libseal::Place middle = drainage_.places[static_cast<std::size_t>(inside_[random_.below(inside_.size())])].place;
        static const std::vector<std::string> kinds{"stain", "soft_spot", "wet_reading"};
        for (std::size_t k = 3 + random_.below(4); k > 0; --k) {
            const int at = inside_[random_.below(inside_.size())];
            const libseal::WaterPlace& place = drainage_.places[static_cast<std::size_t>(at)];
            const double away = std::hypot(place.place.x - middle.x, place.place.y - middle.y, place.place.z - middle.z);
            if (away > 1.5 && random_.below(8) > 0) {
                ++k;
                continue;
            }
            if (std::find(one.places.begin(), one.places.end(), at) != one.places.end()) continue;
            libseal::Stain stain;
            stain.surface = place.surface;
            stain.slide = place.slide;
            stain.at = place.at;
            stain.kind = kinds[random_.below(kinds.size())];
            one.places.push_back(at);
            one.stains.push_back(stain);
        }
    }

    std::vector<std::string> times(const LeakCase& one) const {
        return one.circumstances.empty() ? std::vector<std::string>{""} : one.circumstances;
    }

    template <class Marks>
    void leak(const Run& run, const LeakCase& one, Marks& marks, std::map<std::size_t, bool>& open) {
        const auto count = drainage_.runs_of(coach_.joints[run.joint].id).size();
        if (!chance(1 - std::pow(1 - one.prior[run.joint], 1.0 / static_cast<double>(count)))) return;
        open[run.joint] = true;
        std::set<std::string> lets_in;
        const std::string& exposure = drainage_.places[static_cast<std::size_t>(run.place)].exposure;
        for (const auto& name : times(one))
            if (name.empty() || chance(number("leak/when/" + exposure + "/" + name))) lets_in.insert(name);
        std::map<int, bool> passable;  // links, drawn when first met
        for (std::size_t k = 0; k < one.places.size(); ++k) {
            const auto way = run.tree.path_to(drainage_, one.places[k]);
            bool arrives = !way.empty();
            for (const int link : way) {
                const auto [at, fresh] = passable.emplace(link, false);
                if (fresh) at->second = chance(drainage_.links[static_cast<std::size_t>(link)].passes);
                arrives = arrives && at->second;
            }
            for (const auto& name : times(one))
                if (arrives && lets_in.contains(name) && chance(number("leak/mark/" + one.stains[k].kind + "/shows")))
                    marks[k][name].insert(coach_.joints[run.joint].id);
        }
    }

    template <class Marks>
    void other_causes(const LeakCase& one, Marks& marks) {
        const auto unit = std::find_if(coach_.parts.begin(), coach_.parts.end(), [](const auto& p) { return p.kind == "air_conditioner"; });
        for (const char* cause : {"condensation", "plumbing", "cooling_condensate"}) {
            const std::string base = std::string("leak/other/") + cause;
            const bool cooling = std::string(cause) == "cooling_condensate";
            if (cooling && unit == coach_.parts.end()) continue;
            if (!chance(number(base + "/prior"))) continue;
            for (const auto& name : times(one)) {
                if (!name.empty() && !chance(number(base + "/when/" + name))) continue;
                for (std::size_t k = 0; k < one.places.size(); ++k) {
                    const libseal::WaterPlace& place = drainage_.places[static_cast<std::size_t>(one.places[k])];
                    if (!catalogue_.has(base + "/reaches/" + place.kind)) continue;
                    double share = number(base + "/reaches/" + place.kind);
                    if (cooling) {
                        const double x = (unit->low.u + unit->high.u) / 2, y = (unit->low.v + unit->high.v) / 2;
                        share *= std::exp(-std::hypot(x - place.place.x, y - place.place.y) / number(base + "/spread_m"));
                    }
                    if (chance(share * number("leak/mark/" + one.stains[k].kind + "/shows"))) marks[k][name].insert("");
                }
            }
        }
        for (std::size_t k = 0; k < one.places.size(); ++k)
            for (const auto& name : times(one))
                if (chance(number("leak/mark/" + one.stains[k].kind + "/false"))) marks[k][name].insert("");
    }

    template <class Marks>
    void report(LeakCase& one, const Marks& marks) {
        for (std::size_t k = 0; k < one.places.size(); ++k) {
            libseal::Stain& stain = one.stains[k];
            stain.wet = !marks[k].empty();
            for (const auto& name : one.circumstances) (marks[k].contains(name) ? stain.appears : stain.stays_dry).push_back(name);
            for (const auto& [name, joints] : marks[k])
                for (const auto& id : joints)
                    if (!id.empty()) one.causes.insert(id);
        }
    }

    const libseal::Coach& coach_;
    const libseal::Drainage& drainage_;
    const libseal::Catalogue& catalogue_;
    libseal::RandomStream random_;
    std::vector<Run> runs_;
    std::vector<int> inside_;
};

/// A forecast that says of each joint only that it is open with the chance given.
inline libseal::Forecast forecast_of(const libseal::Coach& coach, const std::vector<double>& open) {
    libseal::Forecast f;
    const auto n = static_cast<Eigen::Index>(open.size());
    f.age = libseal::Column::Zero(n);
    f.open_now = Eigen::Map<const libseal::Column>(open.data(), n);
    for (const auto& joint : coach.joints) {
        f.coach.push_back(coach.id);
        f.joint.push_back(joint.id);
        f.layer.push_back("cap_bead");
    }
    return f;
}

}  // namespace libseal_test
