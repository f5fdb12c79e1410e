/* The little of a C library that a rule needs, for a machine that has none for WebAssembly. */
#include <stdint.h>
#include "stdlib.h"
#include "string.h"

/* The first byte behind the data of the module; the linker names it. */
extern unsigned char __heap_base;

static uintptr_t next;

enum { PAGE = 65536, ALIGN = 16 };

_Noreturn void abort(void) {
  __builtin_trap();
}

/* Each block has its size in front of it, for realloc. */
void *malloc(size_t size) {
  if (next == 0) {
    next = ((uintptr_t)&__heap_base + ALIGN - 1) / ALIGN * ALIGN;
  }
  if (size > UINT32_MAX / 2) {
    abort();
  }
  uintptr_t end = next + ALIGN + (size + ALIGN - 1) / ALIGN * ALIGN;
  uintptr_t have = (uintptr_t)__builtin_wasm_memory_size(0) * PAGE;
  if (end < next || (end > have && __builtin_wasm_memory_grow(0, (end - have + PAGE - 1) / PAGE) == (size_t)-1)) {
    abort();
  }
  *(size_t *)next = size;
  void *block = (void *)(next + ALIGN);
  next = end;
  return block;
}

void *calloc(size_t count, size_t size) {
  if (size != 0 && count > (size_t)-1 / size) {
    abort();
  }
  return memset(malloc(count * size), 0, count * size);
}

void *realloc(void *old, size_t size) {
  void *block = malloc(size);
  if (old != NULL) {
    size_t had = *(size_t *)((uintptr_t)old - ALIGN);
    memcpy(block, old, had < size ? had : size);
  }
  return block;
}

void free(void *block) {
  (void)block;
}

void *memcpy(void *to, const void *from, size_t size) {
  for (size_t i = 0; i < size; i++) {
    ((unsigned char *)to)[i] = ((const unsigned char *)from)[i];
  }
  return to;
}

void *memset(void *to, int byte, size_t size) {
  for (size_t i = 0; i < size; i++) {
    ((unsigned char *)to)[i] = (unsigned char)byte;
  }
  return to;
}

int memcmp(const void *a, const void *b, size_t size) {
  const unsigned char *left = a, *right = b;
  for (size_t i = 0; i < size; i++) {
    if (left[i] != right[i]) {
      return left[i] < right[i] ? -1 : 1;
    }
  }
  return 0;
}

size_t strlen(const char *text) {
  size_t length = 0;
  while (text[length] != 0) {
    length++;
  }
  return length;
}
