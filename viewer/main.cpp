#include <cstdio>

int main() {
  std::puts("coilwright-view " COILWRIGHT_VERSION);
  return 0;
}
