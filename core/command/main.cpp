#include <cstdio>

int main() {
  std::puts("coilwright " COILWRIGHT_VERSION);
  return 0;
}
