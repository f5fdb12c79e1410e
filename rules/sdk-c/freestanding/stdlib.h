/* What the bindings ask of a C library: memory, which is never given back, since an instance lives for one plan. */
#ifndef LINTERN_STDLIB_H
#define LINTERN_STDLIB_H
#include <stddef.h>

void *malloc(size_t size);
void *calloc(size_t count, size_t size);
void *realloc(void *old, size_t size);
void free(void *block);
_Noreturn void abort(void);

#endif
