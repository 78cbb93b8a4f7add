#include "support/catch.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <vector>

#include "libseal/core/error.hpp"
#include "libseal/core/random.hpp"
#include "libseal/leak/network.hpp"
#include "support/published.hpp"

using namespace libseal;

namespace {

struct Asia {
    CauseNetwork net;
    int asia, tub, smoke, lung, bronc, either, xray, dysp;
    Asia() {
        asia = net.root(0.01);
        tub = net.table({asia}, {0.01, 0.05});
        smoke = net.root(0.5);
        lung = net.table({smoke}, {0.01, 0.1});
        bronc = net.table({smoke}, {0.3, 0.6});
        either = net.table({lung, tub}, {0, 1, 1, 1});
        xray = net.table({either}, {0.05, 0.98});
        dysp = net.table({bronc, either}, {0.1, 0.8, 0.7, 0.9});
    }
};

void check(const CauseAnswer& answer, int node, double expected, double half_digit) {
    CHECK(answer.probability[static_cast<std::size_t>(node)] == Approx(expected).margin(half_digit).epsilon(0));
}

/// Probability of one state of all nodes.
double joint(const CauseNetwork& net, std::size_t state) {
    double p = 1;
    for (std::size_t id = 0; id < net.size(); ++id) {
        const auto& node = net.node(static_cast<int>(id));
        double one;
        if (node.is_table) {
            std::size_t index = 0;
            for (std::size_t k = 0; k < node.parents.size(); ++k) index |= ((state >> node.parents[k]) & 1U) << k;
            one = node.numbers[index];
        } else {
            double none = 1 - node.leak;
            for (std::size_t k = 0; k < node.parents.size(); ++k)
                if ((state >> node.parents[k]) & 1U) none *= 1 - node.numbers[k];
            one = 1 - none;
        }
        p *= (state >> id) & 1U ? one : 1 - one;
    }
    return p;
}

struct Enumerated {
    double evidence = 0;
    std::vector<double> probability;
};

/// Every state of every node, one after the other: shares nothing with the library but the numbers of the nodes.
Enumerated enumerated(const CauseNetwork& net, const std::vector<CauseEvidence>& seen) {
    Enumerated sums;
    sums.probability.assign(net.size(), 0.0);
    for (std::size_t state = 0; state < std::size_t{1} << net.size(); ++state) {
        const bool fits = std::all_of(seen.begin(), seen.end(), [&](const CauseEvidence& e) { return (((state >> e.node) & 1U) != 0) == e.value; });
        if (!fits) continue;
        const double p = joint(net, state);
        sums.evidence += p;
        for (std::size_t id = 0; id < net.size(); ++id)
            if ((state >> id) & 1U) sums.probability[id] += p;
    }
    for (double& p : sums.probability) p /= sums.evidence;
    return sums;
}

std::vector<int> some_of(RandomStream& random, int below, int most) {
    std::vector<int> all;
    for (int i = 0; i < below; ++i) all.push_back(i);
    std::vector<int> picked;
    const int count = std::min<int>(below, static_cast<int>(random.below(static_cast<std::uint64_t>(most) + 1)));
    for (int k = 0; k < count; ++k) {
        const std::size_t at = random.below(all.size());
        picked.push_back(all[at]);
        all.erase(all.begin() + static_cast<std::ptrdiff_t>(at));
    }
    return picked;
}

std::vector<double> numbers(RandomStream& random, std::size_t count) {
    std::vector<double> list;
    for (std::size_t i = 0; i < count; ++i) list.push_back(random.uniform());
    return list;
}

/// Up to 12 sources and a few effects of each kind on whatever was there before.
CauseNetwork random_network(RandomStream& random, std::size_t sources, std::size_t effects) {
    CauseNetwork net;
    for (std::size_t i = 0; i < sources; ++i) net.root(random.uniform());
    for (std::size_t i = 0; i < effects; ++i) {
        const bool table = random.below(3) == 0;
        const auto parents = some_of(random, static_cast<int>(net.size()), table ? 4 : 12);
        if (table) net.table(parents, numbers(random, std::size_t{1} << parents.size()));
        else net.noisy_or(parents, numbers(random, parents.size()), random.below(2) ? random.uniform() * 0.3 : 0.0);
    }
    return net;
}

std::vector<CauseEvidence> random_evidence(RandomStream& random, const CauseNetwork& net) {
    std::vector<CauseEvidence> seen;
    for (const int node : some_of(random, static_cast<int>(net.size()), 5)) seen.push_back({node, random.below(2) == 1});
    return seen;
}

}  // namespace

TEST_CASE("chest clinic network: marginals and evidence as published", "[published]") {
    // Lauritzen & Spiegelhalter 1988; asia and dysp as in the tests of an R package for graphical models; the rest computed
    // by enumeration in an independent program from the same tables.
    const Asia a;
    const CauseAnswer none = infer(a.net, {});
    check(none, a.tub, 0.0104, 5e-5);
    check(none, a.lung, 0.055, 5e-4);
    check(none, a.bronc, 0.45, 5e-3);
    check(none, a.either, 0.064828, 5e-7);
    check(none, a.xray, 0.11029004, 5e-9);
    check(none, a.dysp, 0.4359706, 5e-8);
    const CauseAnswer ad = infer(a.net, {{a.asia, true}, {a.dysp, true}});
    CHECK(ad.evidence == Approx(0.004501375).margin(5e-10).epsilon(0));
    check(ad, a.lung, 0.0995251451, 5e-11);
    check(ad, a.bronc, 0.8114020716, 5e-11);
    check(ad, a.tub, 0.0877509650, 5e-11);
    check(ad, a.either, 0.1822998528, 5e-11);
    check(ad, a.smoke, 0.6259198578, 5e-11);
    check(ad, a.xray, 0.2195388631, 5e-11);
    const CauseAnswer x = infer(a.net, {{a.xray, true}});
    check(x, a.lung, 0.4887114013, 5e-11);
    check(x, a.tub, 0.0924108832, 5e-11);
    check(x, a.bronc, 0.5063261560, 5e-11);
    check(x, a.smoke, 0.6877538534, 5e-11);
    const CauseAnswer axd = infer(a.net, {{a.asia, true}, {a.xray, true}, {a.dysp, true}});
    CHECK(axd.evidence == Approx(0.00098822675).margin(5e-12).epsilon(0));
    check(axd, a.tub, 0.3917117200, 5e-11);
    check(axd, a.lung, 0.4442705078, 5e-11);
    check(axd, a.bronc, 0.6288217760, 5e-11);
    const CauseAnswer dnn = infer(a.net, {{a.dysp, true}, {a.smoke, false}, {a.xray, false}});
    check(dnn, a.bronc, 0.7737460911, 5e-11);
    CHECK(dnn.evidence == Approx(0.1444156636).margin(5e-11).epsilon(0));
    libseal_test::count_published("Lauritzen & Spiegelhalter 1988", 24);
}

TEST_CASE("wet grass: the classical tables, and learning of rain explains the sprinkler away", "[published]") {
    CauseNetwork net;  // tables from memory, classical
    const int cloudy = net.root(0.5);
    const int sprinkler = net.table({cloudy}, {0.5, 0.1}), rain = net.table({cloudy}, {0.2, 0.8});
    const int wet = net.table({sprinkler, rain}, {0, 0.9, 0.9, 0.99});
    CHECK(infer(net, {{wet, true}}).evidence == Approx(0.6471).margin(5e-5).epsilon(0));
    check(infer(net, {{wet, true}}), sprinkler, 0.4297635605, 5e-11);
    check(infer(net, {{wet, true}}), rain, 0.7079276773, 5e-11);
    check(infer(net, {{wet, true}, {rain, true}}), sprinkler, 0.1944990177, 5e-11);
    CauseNetwork other;
    const int r = other.root(0.2), s = other.table({r}, {0.4, 0.01}), g = other.table({s, r}, {0, 0.9, 0.8, 0.99});
    CHECK(infer(other, {{g, true}}).evidence == Approx(0.44838).margin(5e-6).epsilon(0));
    check(infer(other, {{g, true}}), r, 0.3576876756, 5e-11);
    check(infer(other, {{g, true}}), s, 0.6467282216, 5e-11);
    libseal_test::count_published("Murphy, wet-grass network", 7);
}

TEST_CASE("noisy-OR tables and two symptoms of three sources", "[published]") {
    // Pearl 1988 for the gate; the numbers are computed by enumeration in an independent program.
    const double passes[3] = {0.4, 0.8, 0.9};
    const auto gate = [&](int state, double leak) {
        CauseNetwork net;
        std::vector<int> x;
        for (int k = 0; k < 3; ++k) x.push_back(net.root((state >> k) & 1 ? 1.0 : 0.0));
        return infer(net, {{net.noisy_or(x, {passes[0], passes[1], passes[2]}, leak), true}}).evidence;
    };
    CHECK(gate(0b011, 0) == Approx(0.88).margin(1e-12).epsilon(0));
    CHECK(gate(0b101, 0) == Approx(0.94).margin(1e-12).epsilon(0));
    CHECK(gate(0b110, 0) == Approx(0.98).margin(1e-12).epsilon(0));
    CHECK(gate(0b111, 0) == Approx(0.988).margin(1e-12).epsilon(0));
    CHECK(gate(0b000, 0.05) == Approx(0.05).margin(1e-12).epsilon(0));
    CHECK(gate(0b001, 0.05) == Approx(0.43).margin(1e-12).epsilon(0));
    CHECK(gate(0b010, 0.05) == Approx(0.81).margin(1e-12).epsilon(0));
    CHECK(gate(0b100, 0.05) == Approx(0.905).margin(1e-12).epsilon(0));
    CHECK(gate(0b111, 0.05) == Approx(0.9886).margin(1e-12).epsilon(0));
    CauseNetwork net;
    const int a = net.root(0.10), b = net.root(0.05), c = net.root(0.02);
    const int y = net.noisy_or({a, b, c}, {0.3, 0.8, 0.6}, 0.01), z = net.noisy_or({a, b, c}, {0.7, 0.1, 0.0}, 0.02);
    const auto sources = [&](const std::vector<CauseEvidence>& seen, double pa, double pb, double pc) {
        const CauseAnswer answer = infer(net, seen);
        check(answer, a, pa, 5e-11);
        check(answer, b, pb, 5e-11);
        check(answer, c, pc, 5e-11);
        return answer.evidence;
    };
    CHECK(sources({{y, true}}, 0.3843057830, 0.4543021282, 0.1415749336) == Approx(0.089174656).margin(5e-10).epsilon(0));
    CHECK(sources({{y, true}, {z, false}}, 0.1652385705, 0.5492254607, 0.1873770534) == Approx(0.0602075439336).margin(5e-14).epsilon(0));
    CHECK(sources({{y, true}, {z, true}}, 0.8396324580, 0.2570059428, 0.0463761738) == Approx(0.0289671120664).margin(5e-14).epsilon(0));
    libseal_test::count_published("Pearl 1988, noisy-OR", 21);
}

TEST_CASE("random networks of up to 12 sources equal the sum over all states", "[reference]") {
    RandomStream random(4711);
    int compared = 0;
    for (int round = 0; round < 400; ++round) {
        const std::size_t sources = 1 + random.below(12);
        const CauseNetwork net = random_network(random, sources, 1 + random.below(std::min<std::size_t>(6, 17 - sources)));
        const auto seen = random_evidence(random, net);
        const Enumerated expected = enumerated(net, seen);
        if (expected.evidence < 1e-9) continue;
        const CauseAnswer answer = infer(net, seen);
        INFO("round " << round);
        CHECK(answer.evidence == Approx(expected.evidence).margin(1e-12).epsilon(0));
        for (std::size_t id = 0; id < net.size(); ++id) CHECK(answer.probability[id] == Approx(expected.probability[id]).margin(1e-12).epsilon(0));
        ++compared;
    }
    CHECK(compared > 350);
}

TEST_CASE("the order of facts does not matter, and a cause that passes nothing changes nothing", "[law]") {
    RandomStream random(99);
    for (int round = 0; round < 50; ++round) {
        const CauseNetwork net = random_network(random, 6, 5);
        auto seen = random_evidence(random, net);
        if (enumerated(net, seen).evidence < 1e-9) continue;
        const CauseAnswer before = infer(net, seen);
        std::reverse(seen.begin(), seen.end());
        CHECK(infer(net, seen).probability == before.probability);
    }
    CauseNetwork plain, more;
    const int a = plain.root(0.3), y = plain.noisy_or({a}, {0.7}, 0.1);
    const int a2 = more.root(0.3), idle = more.root(0.9), y2 = more.noisy_or({idle, a2}, {0.0, 0.7}, 0.1);
    CHECK(infer(more, {{y2, true}}).probability[static_cast<std::size_t>(a2)] == Approx(infer(plain, {{y, true}}).probability[static_cast<std::size_t>(a)]).margin(1e-15).epsilon(0));
    CHECK(infer(more, {{y2, true}}).probability[static_cast<std::size_t>(idle)] == Approx(0.9).margin(1e-15).epsilon(0));
}

TEST_CASE("one cause of an effect found lowers what is believed of the other", "[law]") {
    RandomStream random(5);
    for (int round = 0; round < 100; ++round) {
        CauseNetwork net;
        const double p = 0.05 + 0.9 * random.uniform(), q = 0.05 + 0.9 * random.uniform();
        const int a = net.root(p), b = net.root(q);
        const int y = net.noisy_or({a, b}, {0.05 + 0.9 * random.uniform(), 0.05 + 0.9 * random.uniform()}, 0.1 * random.uniform());
        const double given_y = infer(net, {{y, true}}).probability[static_cast<std::size_t>(b)];
        const double given_both = infer(net, {{y, true}, {a, true}}).probability[static_cast<std::size_t>(b)];
        CHECK(given_y > q);
        CHECK(given_both < given_y);
        CHECK(given_both >= q - 1e-12);
    }
}

TEST_CASE("three hundred small causes of one effect: the closed form, without loss of digits", "[reference]") {
    CauseNetwork net;
    std::vector<int> causes;
    std::vector<double> passes;
    long double none = 1;
    for (int k = 0; k < 300; ++k) {
        const double p = 1e-7 * (1 + k % 7), q = 0.1 + 0.002 * k;
        causes.push_back(net.root(p));
        passes.push_back(q);
        none *= 1 - static_cast<long double>(p) * q;
    }
    const int y = net.noisy_or(causes, passes);
    const CauseAnswer answer = infer(net, {{y, true}});
    CHECK(answer.evidence == Approx(static_cast<double>(1 - none)).epsilon(1e-12).margin(0));
    for (const std::size_t k : {std::size_t{0}, std::size_t{150}, std::size_t{299}}) {
        const long double p = 1e-7L * (1 + static_cast<int>(k) % 7), q = passes[k];
        const long double open = p * (1 - none / (1 - p * q) * (1 - q)) / (1 - none);
        CHECK(answer.probability[k] == Approx(static_cast<double>(open)).epsilon(1e-9).margin(0));
    }
    CHECK(infer(net, {{y, false}}).evidence == Approx(static_cast<double>(none)).epsilon(1e-12).margin(0));
}

TEST_CASE("what cannot be is refused", "[bad_input]") {
    CauseNetwork net;
    const int a = net.root(0.0);
    CHECK_THROWS_AS(net.root(1.5), ValueError);
    CHECK_THROWS_AS(net.root(std::nan("")), ValueError);
    CHECK_THROWS_AS(net.table({a}, {0.5}), ValueError);
    CHECK_THROWS_AS(net.table({a + 1}, {0.5, 0.5}), ValueError);
    CHECK_THROWS_AS(net.table({a, a}, {0, 0, 0, 0}), ValueError);
    CHECK_THROWS_AS(net.noisy_or({a}, {0.5, 0.5}), ValueError);
    CHECK_THROWS_AS(net.noisy_or({a}, {0.5}, -0.1), ValueError);
    CHECK_THROWS_AS(infer(net, {{a, true}}), ValueError);
    CHECK_THROWS_AS(infer(net, {{a, false}, {a, true}}), ValueError);
    CHECK_THROWS_AS(infer(net, {{7, true}}), ValueError);
    // An effect that none of its possible causes brings about cannot have been seen.
    const int maybe = net.root(0.5), never = net.table({maybe}, {0, 0}), always = net.table({maybe}, {1, 1});
    CHECK_THROWS_AS(infer(net, {{never, true}}), ValueError);
    CHECK_THROWS_AS(infer(net, {{always, false}}), ValueError);
    CHECK(infer(net, {{never, false}, {always, true}}).probability[static_cast<std::size_t>(maybe)] == Approx(0.5).epsilon(1e-14));
    // A table of many causes would be large without end.
    std::vector<int> causes;
    for (int k = 0; k < 17; ++k) causes.push_back(net.root(0.1));
    CHECK_THROWS_AS(net.table(causes, std::vector<double>(std::size_t{1} << 17, 0.5)), ValueError);
    causes.pop_back();
    CHECK_NOTHROW(net.table(causes, std::vector<double>(std::size_t{1} << 16, 0.5)));
}
