// A program that takes the headers alone and links nothing.

#include "libseal/life/weibull.hpp"

int main() {
    const libseal::Weibull life{11.252, 1.9075};
    const double early = 1 - life.survival(10);
    return early > 0.54 && early < 0.56 ? 0 : 1;
}
