from django.urls import path

from cases.patterns.views import changing, cutting, files, pages

urlpatterns = [
    path("pairs/<uuid:uuid>/patterns/", pages.patterns, name="patterns"),
    path("pairs/<uuid:uuid>/patterns/print/", files.patterns_print, name="patterns-print"),
    path("pairs/<uuid:uuid>/patterns/own-template/", changing.own_template_use, name="own-template-use"),
    path("pairs/<uuid:uuid>/patterns/<str:group>.svg", files.patterns_svg, name="patterns-svg"),
    path("pairs/<uuid:uuid>/patterns/<str:group>.dxf", files.patterns_dxf, name="patterns-dxf"),
    path("pairs/<uuid:uuid>/patterns/<str:side>/<slug:key>/", pages.pattern_piece, name="pattern-piece"),
    path("pairs/<uuid:uuid>/patterns/<str:side>/<slug:key>/adjust/", pages.pattern_adjust, name="pattern-adjust"),
    path("pattern-adjustments/<uuid:uuid>/take-back/", changing.adjustment_take_back, name="adjustment-take-back"),
    path("own-templates/<uuid:uuid>/end/", changing.own_template_end, name="own-template-end"),
    path("pairs/<uuid:uuid>/cutting-list/", cutting.cutting_of_pair, name="cutting-of-pair"),
    path("pairs/<uuid:uuid>/cutting-list.pdf", cutting.cutting_of_pair_pdf, name="cutting-of-pair-pdf"),
    path("bench/cutting-list/", cutting.cutting_of_bench, name="cutting-of-bench"),
    path("bench/cutting-list.pdf", cutting.cutting_of_bench_pdf, name="cutting-of-bench-pdf"),
]
